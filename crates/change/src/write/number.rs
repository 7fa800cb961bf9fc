//! How numbers are written.

use kw_model::Dialect;
use kw_model::dialect::IntegerRule;

/// How numbers are written: decimals, mark, whether a point is always there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NumberStyle {
    /// Decimals at most; trailing zeros are left out.
    pub decimals: usize,
    /// Whether a whole number still gets its point, because without it it would mean thousandths.
    pub always_point: bool,
    /// Whether the decimal mark is a comma.
    pub comma: bool,
}

impl NumberStyle {
    /// The style of axis words in a dialect.
    pub fn of(dialect: &Dialect, decimals: usize) -> Self {
        Self {
            decimals,
            always_point: dialect.integers == IntegerRule::Thousandths,
            comma: dialect.decimal_comma,
        }
    }

    /// A number in this style; numbers that round to zero lose their sign.
    pub fn text(self, value: f64) -> String {
        let mut text = format!("{value:.*}", self.decimals);
        if text.contains('.') {
            let kept = text.trim_end_matches('0').trim_end_matches('.').len();
            text.truncate(kept);
        }
        if text == "-0" {
            "0".clone_into(&mut text);
        }
        if self.always_point && !text.contains('.') {
            text.push('.');
        }
        if self.comma { text.replace('.', ",") } else { text }
    }

    /// The value that a reader gets back from the text of a number.
    pub fn rounded(self, value: f64) -> f64 {
        format!("{value:.*}", self.decimals).parse().unwrap_or(value)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_lose_no_digit() {
        let plain = NumberStyle { decimals: 6, always_point: false, comma: false };
        assert_eq!(plain.text(12.5), "12.5");
        assert_eq!(plain.text(100.0), "100");
        assert_eq!(plain.text(-1e-9), "0");
        assert_eq!(plain.text(0.000_001), "0.000001");
        assert_eq!(NumberStyle { always_point: true, ..plain }.text(10.0), "10.");
        assert_eq!(NumberStyle { comma: true, ..plain }.text(-0.25), "-0,25");
    }
}
