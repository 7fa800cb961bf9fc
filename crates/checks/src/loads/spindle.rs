//! What the spindle can give against what the cuts take.

use super::View;
use crate::Context;
use kw_base::{SettingRef, Severity};
use kw_cutting::power::torque_nm;
use kw_cutting::program::{Load, spindle_curve};
use kw_model::machine::Head;

/// What one move takes of the spindle.
#[derive(Clone, Copy)]
pub(super) struct Taken {
    pub move_index: usize,
    pub tool: u32,
    pub speed_rpm: f64,
    /// Likely power, W, and its unsafe end.
    pub power_w: [f64; 2],
    /// Likely torque, N·m, and its unsafe end.
    pub torque_nm: [f64; 2],
    /// Power the spindle gives at this speed, W.
    pub has_power_w: f64,
    /// Most torque it gives at any speed, N·m.
    pub has_torque_nm: f64,
}

/// Which limit of the spindle a move breaks.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Short {
    /// No speed gives this torque.
    Torque,
    /// This speed does not give this power.
    Power,
}

impl Taken {
    /// What the spindle is short of, if anything: what it surely lacks before what it may lack,
    /// torque before power.
    pub fn short_of(&self) -> Option<(Short, Severity)> {
        let stands = |end: usize, short: Short| match short {
            Short::Torque => self.torque_nm[end] > self.has_torque_nm,
            Short::Power => self.power_w[end] > self.has_power_w,
        };
        [(0, Severity::Stop), (1, Severity::Care)].into_iter().find_map(|(end, severity)| {
            let short = [Short::Torque, Short::Power].into_iter().find(|&s| stands(end, s))?;
            Some((short, severity))
        })
    }
}

/// Moves with known power on a spindle with a known curve.
pub(super) fn taken<'a>(
    ctx: &'a Context<'_>,
    view: &'a View<'_>,
) -> impl Iterator<Item = Taken> + 'a {
    let path = &ctx.reading.toolpath;
    let loads = &view.work.loads;
    let gives: Vec<Option<(f64, f64)>> = path
        .states
        .iter()
        .map(|state| {
            let head = ctx.setup.machine.head.get(usize::from(state.head))?;
            Some((spindle_curve(head)?.power_w(state.spindle_rpm)?, most_torque_nm(head)?))
        })
        .collect();
    let column = |load| loads.column(load);
    let (power, power_high) = (column(Load::Power), column(Load::PowerHigh));
    let (torque, torque_high) = (column(Load::Torque), column(Load::TorqueHigh));
    (0..power.len()).filter_map(move |row| {
        let move_index = loads.move_index[row] as usize;
        let state_index = path.state[move_index] as usize;
        let state = &path.states[state_index];
        let (has_power_w, has_torque_nm) = gives[state_index]?;
        Some(Taken {
            move_index,
            tool: state.tool?,
            speed_rpm: state.spindle_rpm,
            power_w: [power[row], power_high[row]].map(f64::from),
            torque_nm: [torque[row], torque_high[row]].map(f64::from),
            has_power_w,
            has_torque_nm,
        })
    })
}

/// Most torque at any point of the curve, N·m: a speed with more does not exist.
fn most_torque_nm(head: &Head) -> Option<f64> {
    let torque = |&[speed, power]: &[f64; 2]| torque_nm(power.into(), speed).map(|t| t.likely);
    head.power_curve.iter().filter_map(torque).reduce(f64::max)
}

/// Where the curve stands.
pub(super) fn curve_setting(ctx: &Context<'_>, move_index: usize) -> SettingRef {
    let state = ctx.reading.toolpath.get(move_index).state;
    let head = ctx.setup.machine.head.get(usize::from(state.head));
    let id = head.map_or("", |head| head.id.as_str());
    ctx.setup.settings.machine.find(&format!("head.{id}.power_curve"))
}
