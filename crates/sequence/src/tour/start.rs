//! Orders to start from.

use super::groups::Fewest;
use super::model::Model;

/// An order of choices while it grows, and the nodes whose predecessors are all in it.
struct Growing<'a> {
    model: &'a Model,
    waiting: Vec<u32>,
    ready: Vec<u32>,
    order: Vec<u32>,
}

impl<'a> Growing<'a> {
    /// An order with only the added start in it.
    fn new(model: &'a Model) -> Self {
        let waiting =
            (0..model.size).map(|node| model.precedence.predecessors(node).len() as u32).collect();
        let mut growing = Self { model, waiting, ready: Vec::new(), order: Vec::new() };
        growing.append(model.choices_of(model.inner_nodes() as u32).start);
        growing
    }

    fn append(&mut self, choice: u32) {
        self.order.push(choice);
        let node = self.model.node_of(choice) as usize;
        for &later in self.model.precedence.successors(node) {
            self.waiting[later as usize] -= 1;
            if self.waiting[later as usize] == 0 {
                self.ready.push(later);
            }
        }
    }

    /// Appends the ready node that is cheapest to reach among those `wanted`; false if none is.
    fn append_nearest(&mut self, wanted: impl Fn(u32) -> bool) -> bool {
        let Some(&last) = self.order.last() else { return false };
        let wanted = self.ready.iter().enumerate().filter(|&(_, &node)| wanted(node));
        let choices = wanted
            .flat_map(|(at, &node)| self.model.choices_of(node).map(move |choice| (choice, at)));
        let nearest = choices.min_by_key(|&(choice, _)| {
            (self.model.cost(last, choice) + self.model.own_cost(choice), choice)
        });
        let Some((choice, at)) = nearest else { return false };
        self.ready.swap_remove(at);
        self.append(choice);
        true
    }
}

/// Always the cheapest node that may come next.
pub(super) fn nearest_first(model: &Model) -> Vec<u32> {
    let mut growing = Growing::new(model);
    while growing.append_nearest(|_| true) {}
    growing.order
}

/// Group after group as planned, inside each visit the cheapest node that may come next.
pub(super) fn group_by_group(model: &Model, groups: &[u32], plan: &Fewest) -> Vec<u32> {
    let mut growing = Growing::new(model);
    for &group in &plan.visits {
        while growing.append_nearest(|node| groups.get(node as usize) == Some(&group)) {}
    }
    while growing.append_nearest(|_| true) {}
    growing.order
}
