//! A tour problem made ready for search: ends added, group changes priced in, near neighbours.

use super::assignment::{Assignment, assignment};
use super::{EntryChoice, EntryCosts, Rules, TourError};
use crate::precedence::{MAX_NODES, Precedence, RuleError};

/// A problem with two nodes added that every order starts and ends with, at no cost.
///
/// Node `i` of the problem stays `i`; the added start is `nodes`, the added end `nodes + 1`. Every
/// entry of every node is a choice with a number of its own; where each node has one entry, the
/// choices are the nodes.
pub(super) struct Model {
    /// Nodes with the two added ends.
    pub size: usize,
    /// Steps from choice to choice.
    pub costs: Vec<i64>,
    /// Among the nodes and both ends.
    pub precedence: Precedence,
    /// Price of one group change, above the cost of any order; 0 without groups.
    pub change_price: i64,
    /// Steps cost the same in both directions wherever both are allowed.
    pub symmetric: bool,
    /// `None` for more than [`MAX_BOUND_NODES`] nodes, or if any node has several entries.
    pub prices: Option<Assignment>,
    choices: Choices,
    near: Vec<u32>,
    near_start: Vec<u32>,
}

/// Numbers of the entries of all nodes, those of one node next to one another.
struct Choices {
    first: Vec<u32>,
    node: Vec<u32>,
    own: Vec<i64>,
}

/// More nodes than this get no assignment bound: its time grows with the cube.
const MAX_BOUND_NODES: usize = 400;

/// Neighbours kept for each choice.
const NEAR: usize = 14;

impl Model {
    pub fn new(rules: &Rules, entry_costs: &impl EntryCosts) -> Result<Self, TourError> {
        let nodes = entry_costs.nodes();
        if nodes > MAX_NODES {
            return Err(RuleError::TooManyNodes { nodes }.into());
        }
        let inner = rules.precedence(nodes)?;
        let choices = Choices::new(entry_costs)?;
        let size = nodes + 2;
        let mut pairs = vec![(nodes, nodes + 1)];
        for node in 0..nodes {
            pairs.extend([(nodes, node), (node, nodes + 1)]);
            pairs.extend(inner.successors(node).iter().map(|&later| (node, later as usize)));
        }
        let precedence = Precedence::of_any_size(size, &pairs)?;
        let mut model = Self {
            size,
            costs: choices.steps(entry_costs),
            precedence,
            change_price: 0,
            symmetric: false,
            prices: None,
            choices,
            near: Vec::new(),
            near_start: Vec::new(),
        };
        model.check_and_price(rules)?;
        if !model.has_choices() && nodes <= MAX_BOUND_NODES {
            model.prices = assignment(&model.costs, &model.precedence);
        }
        model.symmetric = model.is_symmetric();
        model.fill_near();
        Ok(model)
    }

    /// Nodes without the added ends.
    pub fn inner_nodes(&self) -> usize {
        self.size - 2
    }

    /// Whether any node has more than one entry.
    pub fn has_choices(&self) -> bool {
        self.choices.node.len() > self.size
    }

    /// Cost of a step from choice to choice.
    pub fn cost(&self, from: u32, to: u32) -> i64 {
        self.costs[from as usize * self.choices.node.len() + to as usize]
    }

    /// What a choice costs by itself.
    pub fn own_cost(&self, choice: u32) -> i64 {
        self.choices.own[choice as usize]
    }

    pub fn node_of(&self, choice: u32) -> u32 {
        self.choices.node[choice as usize]
    }

    pub fn choices_of(&self, node: u32) -> std::ops::Range<u32> {
        self.choices.of(node as usize)
    }

    /// Nodes that are cheap to reach right after a choice, cheapest first.
    pub fn near(&self, choice: u32) -> &[u32] {
        let at = choice as usize;
        &self.near[self.near_start[at] as usize..self.near_start[at + 1] as usize]
    }

    /// Sum of the steps and own costs of an order of choices with both ends.
    pub fn total(&self, order: &[u32]) -> i64 {
        let own: i64 = order.iter().map(|&choice| self.own_cost(choice)).sum();
        own + order.windows(2).map(|step| self.cost(step[0], step[1])).sum::<i64>()
    }

    /// An order of inner nodes with both ends put on and the best choice for every node.
    pub fn with_ends(&self, order: &[usize]) -> Result<Vec<u32>, TourError> {
        let nodes = self.inner_nodes();
        let ended: Vec<usize> =
            std::iter::once(nodes).chain(order.iter().copied()).chain([nodes + 1]).collect();
        let (choices, _) = super::best_entries(&ended, self)?;
        Ok(choices.into_iter().map(|choice| self.choices.number(choice)).collect())
    }

    /// The inner nodes of an order of choices with both ends, with their entries.
    pub fn without_ends(&self, order: &[u32]) -> Vec<EntryChoice> {
        let inner = order.get(1..order.len().saturating_sub(1)).unwrap_or_default();
        let choice = |&choice: &u32| {
            let node = self.node_of(choice) as usize;
            EntryChoice { node, entry: (choice - self.choices.first[node]) as usize }
        };
        inner.iter().map(choice).collect()
    }

    /// Refuses costs that cannot be added up, and adds the price of group changes to the steps.
    fn check_and_price(&mut self, rules: &Rules) -> Result<(), TourError> {
        let all = || self.costs.iter().chain(&self.choices.own).copied();
        let (least, greatest) = (all().min().unwrap_or(0), all().max().unwrap_or(0));
        let too_large = TourError::CostTooLarge { least, greatest, nodes: self.inner_nodes() };
        let count = self.size as i64;
        let reach = greatest.checked_abs().zip(least.checked_abs()).map(|(a, b)| a.max(b));
        let sum = reach.and_then(|reach| reach.checked_mul(8 * count)).ok_or(too_large.clone())?;
        let Some(groups) = &rules.groups else { return Ok(()) };
        let price = self.tight_price();
        price.checked_mul(2 * count).and_then(|all| all.checked_add(sum)).ok_or(too_large)?;
        let size = self.choices.node.len();
        for from in 0..size {
            for to in 0..size {
                let pair = (self.choices.node[from] as usize, self.choices.node[to] as usize);
                let changes = match (groups.get(pair.0), groups.get(pair.1)) {
                    (Some(from), Some(to)) => from != to,
                    (None, Some(to)) => rules.loaded.is_some_and(|loaded| loaded != *to),
                    _ => false,
                };
                self.costs[from * size + to] += if changes { price } else { 0 };
            }
        }
        self.change_price = price;
        Ok(())
    }

    /// One more than any two orders can differ in cost: for every node the difference between the
    /// dearest and the cheapest way into it.
    fn tight_price(&self) -> i64 {
        let range = |node: usize| {
            let ways = self.choices.of(node).flat_map(|to| {
                let steps = (0..self.choices.node.len() as u32).map(move |from| (from, to));
                steps.filter(|&(from, to)| self.node_of(from) != self.node_of(to))
            });
            let way = |(from, to)| self.cost(from, to) + self.own_cost(to);
            let (least, greatest) = ways
                .map(way)
                .fold((0, 0), |(least, greatest), cost| (cost.min(least), cost.max(greatest)));
            greatest - least
        };
        1 + (0..self.inner_nodes()).map(range).sum::<i64>()
    }

    fn is_symmetric(&self) -> bool {
        let size = self.choices.node.len() as u32;
        (0..size).all(|a| {
            (0..a).all(|b| {
                let (node_a, node_b) = (self.node_of(a) as usize, self.node_of(b) as usize);
                let ruled = self.precedence.is_before(node_a, node_b)
                    || self.precedence.is_before(node_b, node_a);
                ruled || node_a == node_b || self.cost(a, b) == self.cost(b, a)
            })
        })
    }

    /// For each choice the nodes that are cheapest to reach right after it.
    ///
    /// Costs are reduced by the price of entering a node, where known: a node that is dear to enter
    /// from everywhere is then no worse a neighbour than one that is cheap to enter from everywhere.
    fn fill_near(&mut self) {
        self.near_start.push(0);
        for from in 0..self.choices.node.len() as u32 {
            let node = self.node_of(from) as usize;
            let key = |to: u32| {
                let ways = self.choices_of(to).map(|to| self.cost(from, to) + self.own_cost(to));
                let price = self.prices.as_ref().map_or(0, |p| p.entered[to as usize]);
                (ways.min().unwrap_or(0) - price, to)
            };
            let follow = (0..self.size).filter(|&to| self.precedence.can_follow(node, to));
            let mut follow: Vec<(i64, u32)> = follow.map(|to| key(to as u32)).collect();
            if follow.len() > NEAR {
                follow.select_nth_unstable(NEAR);
                follow.truncate(NEAR);
            }
            follow.sort_unstable();
            self.near.extend(follow.into_iter().map(|(_, to)| to));
            self.near_start.push(self.near.len() as u32);
        }
    }
}

impl Choices {
    /// Numbers for all entries of all nodes and one for each added end.
    fn new(costs: &impl EntryCosts) -> Result<Self, TourError> {
        let nodes = costs.nodes();
        let mut choices = Self { first: vec![0], node: Vec::new(), own: Vec::new() };
        for node in 0..nodes {
            let entries = costs.entries(node);
            if entries == 0 {
                return Err(TourError::NoEntry { node });
            }
            if entries > MAX_NODES || choices.node.len() + entries > MAX_NODES {
                return Err(TourError::TooManyEntries);
            }
            for entry in 0..entries {
                choices.own.push(costs.own(EntryChoice { node, entry }));
            }
            choices.add_node(node as u32);
        }
        for end in [nodes, nodes + 1] {
            choices.own.push(0);
            choices.add_node(end as u32);
        }
        Ok(choices)
    }

    /// Gives `node` all choices whose own costs were added.
    fn add_node(&mut self, node: u32) {
        self.node.resize(self.own.len(), node);
        self.first.push(self.own.len() as u32);
    }

    fn of(&self, node: usize) -> std::ops::Range<u32> {
        self.first[node]..self.first[node + 1]
    }

    fn number(&self, choice: EntryChoice) -> u32 {
        self.first[choice.node] + choice.entry as u32
    }

    /// Steps between all choices; steps to and from the added ends cost nothing.
    fn steps(&self, costs: &impl EntryCosts) -> Vec<i64> {
        let size = self.node.len();
        let choice = |number: usize| {
            let node = self.node[number] as usize;
            EntryChoice { node, entry: number - self.first[node] as usize }
        };
        let mut steps = vec![0; size * size];
        for from in 0..size - 2 {
            for to in (0..size - 2).filter(|&to| self.node[from] != self.node[to]) {
                steps[from * size + to] = costs.step(choice(from), choice(to));
            }
        }
        steps
    }
}

/// The model with its ends, so that the best entries of an order can be asked for.
impl EntryCosts for Model {
    fn nodes(&self) -> usize {
        self.size
    }

    fn entries(&self, node: usize) -> usize {
        self.choices.of(node).len()
    }

    fn own(&self, choice: EntryChoice) -> i64 {
        self.own_cost(self.choices.number(choice))
    }

    fn step(&self, from: EntryChoice, to: EntryChoice) -> i64 {
        self.cost(self.choices.number(from), self.choices.number(to))
    }
}
