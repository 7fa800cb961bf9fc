//! What a program leaves uncut where it cut deep: onion skins, tabs and floors.

use crate::map::DepthMap;
use kw_geometry::Vec2;

/// A connected region that was cut, but not through.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Remain {
    /// Its area, mm²: whole cells.
    pub area_mm2: f64,
    /// Box around it: least and greatest corner, machine coordinates, mm.
    pub box_mm: [Vec2; 2],
    /// Least thickness left in it, mm.
    pub least_mm: f64,
    /// Greatest thickness left in it, mm.
    pub greatest_mm: f64,
    /// Whether it touches a cell that is cut through: such a skin or tab holds something.
    pub beside_through: bool,
}

impl DepthMap {
    /// Regions in which at most `thickness_mm` is left but that are not cut through, largest first;
    /// cells joined by their sides. Regions below `least_area_mm2` are left out.
    pub fn remains(&self, thickness_mm: f64, least_area_mm2: f64) -> Vec<Remain> {
        let least_depth = self.raw_depth((self.thickness_mm - thickness_mm).max(0.0)).max(1);
        let thin = |depth: i16| depth >= least_depth && depth < self.through_depth;
        let mut regions = Regions::default();
        let mut before: Vec<ThinRun> = Vec::new();
        for row in 0..self.grid.rows {
            let mut now = self.thin_runs(row, thin);
            for run in &mut now {
                run.region = regions.add(self, run, row);
                let above = before.iter().filter(|b| b.start < run.end && run.start < b.end);
                for other in above {
                    run.region = regions.join(run.region, other.region);
                }
            }
            before = now;
        }
        let mut found = regions.list(self);
        found.retain(|remain| remain.area_mm2 >= least_area_mm2);
        found.sort_by(|a, b| b.area_mm2.total_cmp(&a.area_mm2));
        found
    }

    fn thin_runs(&self, row: u32, thin: impl Fn(i16) -> bool) -> Vec<ThinRun> {
        let mut runs: Vec<ThinRun> = Vec::new();
        for (start, cells) in self.row_parts(row) {
            for (column, _) in (start..).zip(cells).filter(|(_, depth)| thin(**depth)) {
                match runs.last_mut() {
                    Some(last) if last.end == column => last.end += 1,
                    _ => runs.push(ThinRun { start: column, end: column + 1, region: 0 }),
                }
            }
        }
        runs
    }
}

struct ThinRun {
    start: u32,
    end: u32,
    region: usize,
}

#[derive(Clone, Copy)]
struct Region {
    parent: usize,
    cells: u64,
    low: [u32; 2],
    high: [u32; 2],
    depths: [i16; 2],
    beside_through: bool,
}

#[derive(Default)]
struct Regions(Vec<Region>);

impl Regions {
    fn add(&mut self, map: &DepthMap, run: &ThinRun, row: u32) -> usize {
        let parent = self.0.len();
        let mut region = Region {
            parent,
            cells: u64::from(run.end - run.start),
            low: [run.start, row],
            high: [run.end - 1, row],
            depths: [i16::MAX, 0],
            beside_through: false,
        };
        let is_through = |column: Option<u32>, row: Option<u32>| match (column, row) {
            (Some(column), Some(row)) => {
                map.cell(column, row).is_some() && map.raw(column, row) >= map.through_depth
            }
            _ => false,
        };
        for column in run.start..run.end {
            let depth = map.raw(column, row);
            region.depths = [region.depths[0].min(depth), region.depths[1].max(depth)];
            region.beside_through |= is_through(column.checked_sub(1), Some(row))
                || is_through(Some(column + 1), Some(row))
                || is_through(Some(column), row.checked_sub(1))
                || is_through(Some(column), Some(row + 1));
        }
        self.0.push(region);
        parent
    }

    fn find(&mut self, mut at: usize) -> usize {
        while self.0[at].parent != at {
            self.0[at].parent = self.0[self.0[at].parent].parent;
            at = self.0[at].parent;
        }
        at
    }

    fn join(&mut self, a: usize, b: usize) -> usize {
        let (a, b) = (self.find(a), self.find(b));
        if a == b {
            return a;
        }
        let (into, from) = (a.min(b), a.max(b));
        let other = self.0[from];
        self.0[from].parent = into;
        let region = &mut self.0[into];
        region.cells += other.cells;
        for axis in 0..2 {
            region.low[axis] = region.low[axis].min(other.low[axis]);
            region.high[axis] = region.high[axis].max(other.high[axis]);
        }
        region.depths[0] = region.depths[0].min(other.depths[0]);
        region.depths[1] = region.depths[1].max(other.depths[1]);
        region.beside_through |= other.beside_through;
        into
    }

    fn list(&self, map: &DepthMap) -> Vec<Remain> {
        let roots = self.0.iter().enumerate().filter(|(index, region)| region.parent == *index);
        let left = |depth: i16| map.thickness_mm - f64::from(depth) * map.depth_step_mm;
        let corner = |[column, row]: [u32; 2], out: f64| {
            map.grid.to_mm(Vec2::new(f64::from(column) + out, f64::from(row) + out))
        };
        roots
            .map(|(_, region)| Remain {
                area_mm2: region.cells as f64 * map.grid.cell_area_mm2(),
                box_mm: [corner(region.low, -0.5), corner(region.high, 0.5)],
                least_mm: left(region.depths[1]),
                greatest_mm: left(region.depths[0]),
                beside_through: region.beside_through,
            })
            .collect()
    }
}
