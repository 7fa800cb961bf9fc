//! Weibull fits against outside references, and small cases with an answer of their own.
#![allow(clippy::disallowed_methods, reason = "tests read open data sets from a folder")]

use crate::close::assert_close;
use kw_cutting::life::{Ageing, FitError, LifeEnd, Observation, WeibullFit, fit_weibull};
use std::path::{Path, PathBuf};

/// Failures of the automotive set: Krivtsov & Case 1999, SAE Technical Paper 1999-01-3220.
const AUTOMOTIVE_FAILED: [f64; 10] = [
    5_248.0, 7_454.0, 16_890.0, 17_200.0, 38_700.0, 45_000.0, 49_390.0, 69_040.0, 72_280.0,
    131_900.0,
];

/// Right-censored times of the same set.
const AUTOMOTIVE_WORKING: [f64; 21] = [
    3_961.0, 4_007.0, 4_734.0, 6_054.0, 7_298.0, 10_190.0, 23_060.0, 27_160.0, 28_690.0, 37_100.0,
    40_060.0, 45_670.0, 53_000.0, 67_000.0, 69_630.0, 77_350.0, 78_470.0, 91_680.0, 105_700.0,
    106_300.0, 150_400.0,
];

/// What a fit of a data set must give; computed independently by a root search on the profile
/// likelihood in double precision (tolerance 1e-14), confirmed by two open statistics libraries.
struct Reference {
    name: &'static str,
    worn_out: u64,
    taken_out: u64,
    shape: f64,
    scale: f64,
    log_likelihood: f64,
    errors: (f64, f64),
    shape_95: (f64, f64),
    scale_95: (f64, f64),
    b10: f64,
}

const AUTOMOTIVE: Reference = Reference {
    name: "automotive",
    worn_out: 10,
    taken_out: 21,
    shape: 1.154_427,
    scale: 134_651.037_4,
    log_likelihood: -128.973_83,
    errors: (0.296_14, 42_767.188_7),
    shape_95: (0.698_25, 1.908_63),
    scale_95: (72_252.907_7, 250_936.639_8),
    b10: 19_170.045_2,
};

const OTHERS: [Reference; 3] = [
    Reference {
        name: "mileage",
        worn_out: 100,
        taken_out: 0,
        shape: 3.137_122,
        scale: 33_555.225_2,
        log_likelihood: -1_066.202_18,
        errors: (0.241_94, 1_128.404_5),
        shape_95: (2.697_03, 3.649_03),
        scale_95: (31_414.902_5, 35_841.369_9),
        b10: 16_376.666_4,
    },
    Reference {
        name: "waltons-all",
        worn_out: 156,
        taken_out: 7,
        shape: 3.450_510,
        scale: 55.733_1,
        log_likelihood: -672.062_19,
        errors: (0.243_32, 1.326_5),
        shape_95: (3.005_09, 3.961_95),
        scale_95: (53.192_9, 58.394_6),
        b10: 29.031_7,
    },
    Reference {
        name: "waltons-control",
        worn_out: 122,
        taken_out: 7,
        shape: 6.652_047,
        scale: 60.599_9,
        log_likelihood: -464.152_60,
        errors: (0.496_83, 0.849_6),
        shape_95: (5.746_20, 7.700_70),
        scale_95: (58.957_4, 62.288_2),
        b10: 43.206_8,
    },
];

fn observed(times: &[f64], end: LifeEnd) -> impl Iterator<Item = Observation> + '_ {
    times.iter().map(move |&time| Observation { time, end, count: 1 })
}

fn automotive() -> Vec<Observation> {
    observed(&AUTOMOTIVE_FAILED, LifeEnd::WornOut)
        .chain(observed(&AUTOMOTIVE_WORKING, LifeEnd::TakenOut))
        .collect()
}

#[track_caller]
fn check(fit: &WeibullFit, want: &Reference) {
    assert_eq!((fit.worn_out, fit.taken_out), (want.worn_out, want.taken_out), "{}", want.name);
    assert_close(fit.lives.shape(), want.shape, 1e-5);
    assert_close(fit.lives.scale(), want.scale, 1e-5);
    assert_close(fit.log_likelihood, want.log_likelihood, 1e-7);
    assert_close(fit.shape_error(), want.errors.0, 5e-5);
    assert_close(fit.scale_error(), want.errors.1, 5e-5);
    for (got, want) in [(fit.shape_95(), want.shape_95), (fit.scale_95(), want.scale_95)] {
        assert_close(got.0, want.0, 1e-5);
        assert_close(got.1, want.1, 1e-5);
    }
    assert_close(fit.lives.life_at_failed_share(0.1), want.b10, 1e-5);
}

/// The folder of the open data: `KERFWRIGHT_DATA`, else `../shared/data` beside the workspace;
/// `None`, with a message, if it is not there.
fn folder() -> Option<PathBuf> {
    let beside = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../../shared/data");
    let folder = std::env::var("KERFWRIGHT_DATA").map_or(beside, PathBuf::from).join("reliability");
    if folder.is_dir() {
        return Some(folder);
    }
    println!("skipped: no data folder at {}; set KERFWRIGHT_DATA", folder.display());
    None
}

fn read(folder: &Path, name: &str) -> Vec<Observation> {
    let text = std::fs::read_to_string(folder.join(format!("{name}.csv"))).expect("a data set");
    text.lines()
        .skip(1)
        .map(|line| {
            let fields: Vec<&str> = line.split(',').collect();
            let end = if fields[1] == "1" { LifeEnd::WornOut } else { LifeEnd::TakenOut };
            let time = fields[0].parse().expect("a time");
            Observation { time, end, count: fields[2].parse().expect("a count") }
        })
        .collect()
}

#[test]
fn automotive_lives_two_thirds_censored() {
    let fit = fit_weibull(&automotive()).expect("a fit");
    check(&fit, &AUTOMOTIVE);
    assert_eq!(fit.verdict().ageing, Ageing::NotShown, "the interval of the shape holds 1");
    assert!(!fit.verdict().is_usable());
    assert!(fit.chance_probability() > 0.5);
}

#[test]
fn data_sets_in_the_folder() {
    let Some(folder) = folder() else { return };
    check(&fit_weibull(&read(&folder, AUTOMOTIVE.name)).expect("a fit"), &AUTOMOTIVE);
    for want in &OTHERS {
        let fit = fit_weibull(&read(&folder, want.name)).expect("a fit");
        check(&fit, want);
        assert!(fit.verdict().is_usable(), "{}: lives wear out", want.name);
        assert!(fit.chance_probability() < 1e-6, "{}", want.name);
    }
}

#[test]
fn early_failures_are_not_called_a_life() {
    // 10 failures up to 220, 4072 survivors beyond 44,798: shape 0.15375, scale 6.1896e21
    let Some(folder) = folder() else { return };
    let fit = fit_weibull(&read(&folder, "electronics")).expect("a fit");
    assert_eq!((fit.worn_out, fit.taken_out), (10, 4_072));
    assert_close(fit.lives.shape(), 0.153_75, 5e-5);
    assert_close(fit.lives.scale(), 6.189_6e21, 5e-5);
    assert_close(fit.log_likelihood, -144.616_76, 1e-7);
    assert_close(fit.shape_error(), 0.048_57, 1e-4);
    let verdict = fit.verdict();
    assert!(verdict.beyond_observed && !verdict.is_usable());
    assert_eq!(verdict.ageing, Ageing::FailsEarly);
    assert!(verdict.words().contains("early failures"));
}

#[test]
fn early_failures_small_case() {
    let failed = [1.0, 20.0, 70.0, 90.0, 220.0];
    let mut lives: Vec<_> = observed(&failed, LifeEnd::WornOut).collect();
    lives.push(Observation { time: 44_798.0, end: LifeEnd::TakenOut, count: 2_000 });
    let verdict = fit_weibull(&lives).expect("a fit").verdict();
    assert_eq!(verdict.ageing, Ageing::FailsEarly);
    assert!(verdict.beyond_observed && !verdict.is_usable());
}

#[test]
fn two_lives_one_and_e() {
    // [C] lives 1 and e: (β/2)·tanh(β/2) = 1, whose root x = 1.199678640257734 is well known
    let e = kw_base::math::exp(1.0);
    let two = [1.0, e];
    let fit = fit_weibull(&observed(&two, LifeEnd::WornOut).collect::<Vec<_>>()).expect("a fit");
    assert_close(fit.lives.shape(), 2.0 * 1.199_678_640_257_734, 1e-12);
    assert_close(fit.lives.scale(), 2.111344648571, 1e-10);
    // one more tool taken out at 1: e^β/(2 + e^β) = 1/2 + 1/β
    let censored: Vec<_> =
        observed(&two, LifeEnd::WornOut).chain(observed(&[1.0], LifeEnd::TakenOut)).collect();
    let fit = fit_weibull(&censored).expect("a fit");
    let power = kw_base::math::exp(fit.lives.shape());
    assert_close(power / (2.0 + power), 0.5 + 1.0 / fit.lives.shape(), 1e-12);
    assert_close(fit.lives.shape(), 2.654657972463, 1e-10);
}

#[test]
fn taking_tools_out_early_must_not_shorten_the_life() {
    // dropping the censored tools instead would pull the scale down
    let all = fit_weibull(&automotive()).expect("a fit").lives;
    let failed_only: Vec<_> = observed(&AUTOMOTIVE_FAILED, LifeEnd::WornOut).collect();
    let naive = fit_weibull(&failed_only).expect("a fit").lives;
    assert!(all.mean() > 2.0 * naive.mean());
    assert_eq!(
        fit_weibull(&observed(&AUTOMOTIVE_WORKING, LifeEnd::TakenOut).collect::<Vec<_>>()),
        Err(FitError::TooFew { worn_out: 0 })
    );
}
