//! Numbered parameters.

/// Highest parameter number.
pub(crate) const LAST: u16 = 5399;

/// The numbered parameters of a program and which of them have been set.
#[derive(Clone, Debug, PartialEq)]
pub struct Parameters {
    values: Vec<f64>,
    set: Vec<bool>,
}

impl Default for Parameters {
    fn default() -> Self {
        let size = usize::from(LAST) + 1;
        Self { values: vec![0.0; size], set: vec![false; size] }
    }
}

impl Parameters {
    /// Value of a parameter, 1 to 5399; 0 if it was never set or the number is out of range.
    pub fn get(&self, number: u16) -> f64 {
        self.values.get(usize::from(number)).copied().unwrap_or(0.0)
    }

    /// Whether it has been set by the program or belongs to those that the control keeps.
    pub fn is_set(&self, number: u16) -> bool {
        self.set.get(usize::from(number)).copied().unwrap_or(false)
    }

    /// Sets a parameter; a number out of range is ignored.
    pub fn set(&mut self, number: u16, value: f64) {
        if let (Some(slot), Some(set)) =
            (self.values.get_mut(usize::from(number)), self.set.get_mut(usize::from(number)))
        {
            (*slot, *set) = (value, true);
        }
    }
}
