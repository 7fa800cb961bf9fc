//! Lower bound: every node but the last is left once, every node but the first is entered once.

use crate::precedence::Precedence;

/// Dual prices of the cheapest assignment of followers to nodes.
///
/// `cost(i, j) - left[i] - entered[j]` is never negative for a step that is allowed, so `bound`, the
/// sum of all prices, is never above the total of any order. Method: successive shortest
/// paths (Kuhn 1955, Jonker, Volgenant 1987; from memory), time about the cube of the nodes.
pub(super) struct Assignment {
    pub left: Vec<i64>,
    pub entered: Vec<i64>,
    pub bound: i64,
}

const FAR: i64 = i64::MAX / 4;

/// For nodes with both added ends last (start, end), as in the model. `None` if no assignment
/// without forbidden steps exists.
pub(super) fn assignment(costs: &[i64], precedence: &Precedence) -> Option<Assignment> {
    let size = precedence.len();
    // Columns are shifted by one; column 0 stands for the row that is being placed.
    let step = |row: usize, column: usize| {
        let (from, to) = (row - 1, column - 1);
        let ends = from == size - 1 || to == size - 2;
        if ends {
            return if from == size - 1 && to == size - 2 { 0 } else { FAR };
        }
        if precedence.can_follow(from, to) { costs[from * size + to] } else { FAR }
    };
    let (mut left, mut entered) = (vec![0i64; size + 1], vec![0i64; size + 1]);
    let mut row_of = vec![0usize; size + 1];
    for row in 1..=size {
        row_of[0] = row;
        place_row(size, &step, (&mut left, &mut entered), &mut row_of)?;
    }
    let (left, entered) = (left[1..].to_vec(), entered[1..].to_vec());
    let bound = left.iter().sum::<i64>() + entered.iter().sum::<i64>();
    Some(Assignment { left, entered, bound })
}

/// Finds the cheapest way to give the row in `row_of[0]` a column, moving others where needed.
fn place_row(
    size: usize,
    step: &impl Fn(usize, usize) -> i64,
    (left, entered): (&mut [i64], &mut [i64]),
    row_of: &mut [usize],
) -> Option<()> {
    let mut least = vec![FAR; size + 1];
    let mut via = vec![0; size + 1];
    let mut used = vec![false; size + 1];
    let mut column = 0;
    while row_of[column] != 0 {
        used[column] = true;
        let row = row_of[column];
        let (mut smallest, mut next) = (FAR, 0);
        for other in (1..=size).filter(|&other| !used[other]) {
            let cost = step(row, other);
            if cost < FAR && cost - left[row] - entered[other] < least[other] {
                least[other] = cost - left[row] - entered[other];
                via[other] = column;
            }
            if least[other] < smallest {
                (smallest, next) = (least[other], other);
            }
        }
        if smallest == FAR {
            return None;
        }
        for other in 0..=size {
            if used[other] {
                left[row_of[other]] += smallest;
                entered[other] -= smallest;
            } else if least[other] < FAR {
                least[other] -= smallest;
            }
        }
        column = next;
    }
    while column != 0 {
        row_of[column] = row_of[via[column]];
        column = via[column];
    }
    Some(())
}
