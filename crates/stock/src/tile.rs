//! A square of cells with their depths, and how cells are lowered.

/// Cells along a side of a tile. Larger tiles mean fewer moves that cross borders, smaller ones
/// more even work for several threads; 128 × 128 depths (32 KiB) stay in a core's nearest cache.
pub(crate) const TILE: usize = 128;

/// Depth of cells outside the sheet: deeper than any cut, so that no cut changes them.
pub(crate) const OUTSIDE: i16 = i16::MAX;

/// Deepest depth that a cut can have.
pub(crate) const DEEPEST: i16 = i16::MAX - 1;

/// Cells that are lowered together where each has its own depth; divides TILE.
pub(crate) const BLOCK: usize = 8;

/// Stands for no move; the move of index i is kept as i + 1, so that fresh zeroed memory means
/// untouched.
pub(crate) const NEVER: u32 = 0;

/// Depths of TILE × TILE cells, row by row. Columns of an untouched tile stay empty.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Tile {
    /// Depth below the upper face in depth steps; empty: all 0.
    pub depth: Vec<i16>,
    /// Move that first cut each cell, plus 1; empty: none.
    pub first: Vec<u32>,
    /// Move that cut each cell through, plus 1; empty: none.
    pub through: Vec<u32>,
}

static ZERO_ROW: [i16; TILE] = [0; TILE];
static NEVER_ROW: [u32; TILE] = [NEVER; TILE];

impl Tile {
    pub fn depth_row(&self, row: usize) -> &[i16] {
        self.depth.get(row * TILE..(row + 1) * TILE).unwrap_or(&ZERO_ROW)
    }

    pub fn first_row(&self, row: usize) -> &[u32] {
        self.first.get(row * TILE..(row + 1) * TILE).unwrap_or(&NEVER_ROW)
    }

    pub fn through_row(&self, row: usize) -> &[u32] {
        self.through.get(row * TILE..(row + 1) * TILE).unwrap_or(&NEVER_ROW)
    }

    /// Makes room for depths and first moves.
    pub fn open(&mut self) {
        if self.depth.is_empty() {
            self.depth = vec![0; TILE * TILE];
        }
        if self.first.is_empty() {
            self.first = vec![NEVER; TILE * TILE];
        }
    }
}

/// Cells `start..end` of one row of a tile.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct CellSpan {
    pub row: usize,
    pub start: usize,
    pub end: usize,
}

/// On which side of the travel cells lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Side {
    Left = 0,
    Right = 1,
}

impl Side {
    pub fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }
}

/// What a move took from a tile, in whole cells and depth steps: sums are exact and may be added
/// in any order.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Tally {
    /// Depth steps removed left and right of the travel, summed over cells.
    pub removed: [u64; 2],
    /// Cells that were lowered.
    pub cells: u64,
    /// Cells that were cut through.
    pub opened: u32,
    /// Cells visited.
    pub visited: u64,
    /// Most that one cell was lowered, depth steps.
    pub bite: i16,
    /// Parts of the tool that touched: bit 0 shank, bit 1 holder.
    pub contact: u8,
}

impl Tally {
    pub fn add(&mut self, other: &Self) {
        self.removed[0] += other.removed[0];
        self.removed[1] += other.removed[1];
        self.cells += other.cells;
        self.opened += other.opened;
        self.visited += other.visited;
        self.bite = self.bite.max(other.bite);
        self.contact |= other.contact;
    }
}

/// Lowers cells of a tile for one move.
pub(crate) struct Lower<'a> {
    pub tile: &'a mut Tile,
    /// Depth from which a cell counts as cut through.
    pub through_depth: i16,
    /// Index of the move plus 1.
    pub mark: u32,
    /// What the move took from this tile so far.
    pub tally: Tally,
}

impl Lower<'_> {
    /// Lowers a span to one depth.
    pub fn level(&mut self, span: CellSpan, side: Side, depth: i16) {
        let range = span.row * TILE + span.start..span.row * TILE + span.end;
        let Some(cells) = self.tile.depth.get_mut(range.clone()) else { return };
        self.tally.visited += cells.len() as u64;
        let (mut least, mut most) = (i16::MAX, 0);
        for &cell in cells.iter() {
            least = if cell < least { cell } else { least };
            most = if cell > most { cell } else { most };
        }
        if least >= depth {
            return;
        }
        self.tally.bite = self.tally.bite.max(depth - least);
        if least == 0
            && let Some(first) = self.tile.first.get_mut(range.clone())
        {
            mark_below(first, cells, 1, self.mark);
        }
        if depth >= self.through_depth && least < self.through_depth {
            let through = through_cells(&mut self.tile.through, range);
            self.tally.opened += mark_below(through, cells, self.through_depth, self.mark);
        }
        if least == most {
            cells.fill(depth);
            let count = cells.len() as u64;
            self.tally.removed[side as usize] += count * (depth - least) as u64;
            self.tally.cells += count;
            return;
        }
        let (mut removed, mut lowered) = (0_i32, 0_i16);
        for cell in cells {
            let gain = if *cell < depth { depth - *cell } else { 0 };
            removed += i32::from(gain);
            lowered += i16::from(gain > 0);
            *cell += gain;
        }
        self.tally.removed[side as usize] += removed as u64;
        self.tally.cells += lowered as u64;
    }

    /// Lowers the cells of a block, each to its own depth; `left` is −1 for cells to the left of
    /// the travel, 0 for others. `at` is the index of the first cell in the tile.
    pub fn block(&mut self, at: usize, depths: &[i16; BLOCK], left: &[i16; BLOCK]) {
        let Some(cells) = self.tile.depth.get_mut(at..at + BLOCK) else { return };
        let mut gains = [0_i16; BLOCK];
        let mut reached = 0;
        for ((gain, &new), &old) in gains.iter_mut().zip(depths).zip(cells.iter()) {
            *gain = if new > old { new - old } else { 0 };
            reached += i16::from(new > 0);
        }
        self.tally.visited += reached as u64;
        if gains == [0; BLOCK] {
            return;
        }
        self.block_marks(at, depths);
        let (mut removed, mut on_left, mut lowered, mut bite) = (0_i32, 0_i32, 0_i16, 0_i16);
        for (&gain, &left) in gains.iter().zip(left) {
            removed += i32::from(gain);
            on_left += i32::from(gain & left);
            lowered += i16::from(gain > 0);
            bite = if gain > bite { gain } else { bite };
        }
        if let Some(cells) = self.tile.depth.get_mut(at..at + BLOCK) {
            for (cell, gain) in cells.iter_mut().zip(gains) {
                *cell += gain;
            }
        }
        self.tally.removed[Side::Left as usize] += on_left as u64;
        self.tally.removed[Side::Right as usize] += (removed - on_left) as u64;
        self.tally.cells += lowered as u64;
        self.tally.bite = self.tally.bite.max(bite);
    }

    /// Notes which cells of a block are about to be cut first, or cut through.
    fn block_marks(&mut self, at: usize, depths: &[i16; BLOCK]) {
        let range = at..at + BLOCK;
        let cells = &self.tile.depth[range.clone()];
        let (mut least, mut deepest) = (i16::MAX, 0);
        for (&cell, &new) in cells.iter().zip(depths) {
            least = if cell < least { cell } else { least };
            deepest = if new > deepest { new } else { deepest };
        }
        if least == 0 {
            let first = &mut self.tile.first[range.clone()];
            for ((first, &cell), &new) in first.iter_mut().zip(cells).zip(depths) {
                *first = if cell == 0 && new > 0 { self.mark } else { *first };
            }
        }
        if deepest >= self.through_depth && least < self.through_depth {
            let through = through_cells(&mut self.tile.through, range);
            for ((through, &cell), &new) in through.iter_mut().zip(cells).zip(depths) {
                let opens = cell < self.through_depth && new >= self.through_depth;
                *through = if opens { self.mark } else { *through };
                self.tally.opened += u32::from(opens);
            }
        }
    }
}

/// Writes a mark for all cells above a depth; gives their number. Masks instead of branches, so
/// that several cells are done at once.
fn mark_below(marks: &mut [u32], cells: &[i16], depth: i16, mark: u32) -> u32 {
    let mut count = 0;
    for (kept, &cell) in marks.iter_mut().zip(cells) {
        let is_above = u32::from(cell < depth);
        let mask = is_above.wrapping_neg();
        *kept = (*kept & !mask) | (mark & mask);
        count += is_above;
    }
    count
}

fn through_cells(through: &mut Vec<u32>, range: std::ops::Range<usize>) -> &mut [u32] {
    if through.is_empty() {
        *through = vec![NEVER; TILE * TILE];
    }
    &mut through[range]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lowered(tile: &mut Tile, run: impl FnOnce(&mut Lower<'_>)) -> Tally {
        tile.open();
        let mut lower = Lower { tile, through_depth: 1000, mark: 7, tally: Tally::default() };
        run(&mut lower);
        lower.tally
    }

    #[test]
    fn lowering_counts_only_what_is_new() {
        let mut tile = Tile::default();
        let span = CellSpan { row: 3, start: 10, end: 30 };
        let tally = lowered(&mut tile, |l| {
            l.level(span, Side::Left, 200);
            l.level(CellSpan { end: 20, ..span }, Side::Right, 1200);
            l.level(span, Side::Left, 100);
        });
        assert_eq!(tally.removed, [20 * 200, 10 * 1000]);
        assert_eq!((tally.cells, tally.opened, tally.bite), (30, 10, 1000));
        assert_eq!(tile.first_row(3)[29], 7);
        assert_eq!((tile.through_row(3)[19], tile.through_row(3)[20]), (7, NEVER));
    }

    #[test]
    fn one_depth_and_blocks_of_equal_depths_agree() {
        let (mut a, mut b) = (Tile::default(), Tile::default());
        for depth in [300, 1100, 700] {
            let one = lowered(&mut a, |l| {
                l.level(CellSpan { row: 0, start: 8, end: 104 }, Side::Left, depth);
            });
            let many = lowered(&mut b, |l| {
                for at in (8..104).step_by(BLOCK) {
                    l.block(at, &[depth; BLOCK], &[-1; BLOCK]);
                }
            });
            assert_eq!(one, many);
        }
        assert_eq!(a, b);
    }

    #[test]
    fn cells_outside_the_sheet_stay() {
        let mut tile = Tile::default();
        tile.open();
        tile.depth[0] = OUTSIDE;
        let tally = lowered(&mut tile, |l| {
            l.level(CellSpan { row: 0, start: 0, end: 2 }, Side::Left, DEEPEST);
            l.block(0, &[DEEPEST; BLOCK], &[0; BLOCK]);
        });
        assert_eq!((tally.cells, tile.depth[0]), (7, OUTSIDE));
    }
}
