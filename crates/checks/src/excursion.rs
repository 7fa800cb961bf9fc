//! Runs of moves that break one limit, told as one finding at their worst point: a contour that
//! hangs over an edge is one mistake, not a thousand.

/// Follows one limit over the moves of a program.
#[derive(Clone, Copy, Debug, Default)]
pub struct Excursion {
    current: Option<Worst>,
}

/// The worst point of a run of moves beyond a limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Worst {
    /// Index of the worst move.
    pub move_index: usize,
    /// How far it goes beyond the limit, in the limit's unit; above 0.
    pub excess: f64,
    /// Number of moves in the run.
    pub moves: usize,
}

impl Excursion {
    /// Takes the next move: `excess` above 0 is beyond the limit. Gives the run that ends here.
    pub fn visit(&mut self, move_index: usize, excess: f64) -> Option<Worst> {
        if excess <= 0.0 || excess.is_nan() {
            return self.current.take();
        }
        let run = self.current.get_or_insert(Worst { move_index, excess, moves: 0 });
        run.moves += 1;
        if excess > run.excess {
            (run.move_index, run.excess) = (move_index, excess);
        }
        None
    }

    /// The run still open at the end of the program.
    pub fn finish(&mut self) -> Option<Worst> {
        self.current.take()
    }
}

impl Worst {
    /// Words for the other moves of the run; empty if there are none.
    pub fn others(&self) -> String {
        match self.moves {
            // The second move is usually the one that comes back.
            0..=2 => String::new(),
            n => format!("; {} more moves of this run are beyond it too", n - 1),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_run_is_told_once_at_its_worst_move() {
        let mut excursion = Excursion::default();
        let told: Vec<_> = [0.0, 1.0, 3.0, 2.0, 0.0, 5.0]
            .into_iter()
            .enumerate()
            .filter_map(|(i, e)| excursion.visit(i, e))
            .collect();
        assert_eq!(told, [Worst { move_index: 2, excess: 3.0, moves: 3 }]);
        assert_eq!(excursion.finish().map(|w| w.move_index), Some(5));
    }
}
