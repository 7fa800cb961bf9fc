//! Numbers written as the program writes them.

/// A changed figure keeps its number of decimals unless rounding takes it further off than this
/// share; then it gets as many more as it needs. Feeds and speeds are never held closer. Our choice.
pub(super) const ROUNDING_SHARE: f64 = 0.005;

/// Decimals at most; a control resolves no more.
const MOST_DECIMALS: usize = 6;

/// How a number is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct WrittenStyle {
    decimals: usize,
    /// Whether a decimal mark stands there, even behind a whole number.
    mark: bool,
    comma: bool,
    /// Whether `.5` is written instead of `0.5`.
    bare_point: bool,
    /// Digits before the mark at least, as in `T03`.
    digits: usize,
    plus: bool,
}

/// Value of a plain number; blanks inside are passed over.
pub(super) fn value_of(text: &str) -> Option<f64> {
    let plain: String = text
        .chars()
        .filter(|c| !c.is_ascii_whitespace())
        .map(|c| if c == ',' { '.' } else { c })
        .collect();
    let only_digits = plain.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | '+' | '-'));
    plain.parse().ok().filter(|v: &f64| only_digits && v.is_finite())
}

impl WrittenStyle {
    /// The style of a written number.
    pub(super) fn of(text: &str) -> Self {
        let body = text.trim_start_matches(['+', '-', ' ', '\t']);
        let (whole, decimals) = match body.find(['.', ',']) {
            Some(at) => (&body[..at], Some(&body[at + 1..])),
            None => (body, None),
        };
        let count = |part: &str| part.chars().filter(char::is_ascii_digit).count();
        Self {
            decimals: decimals.map_or(0, count),
            mark: decimals.is_some(),
            comma: body.contains(','),
            bare_point: whole.is_empty(),
            digits: if whole.starts_with('0') { count(whole) } else { 1 },
            plus: text.starts_with('+'),
        }
    }

    /// The same with a decimal mark behind whole numbers.
    pub(super) fn with_mark(self) -> Self {
        Self { mark: true, ..self }
    }

    /// A number rounded as the style has it, with more decimals where that is too coarse.
    pub(super) fn near(self, value: f64) -> String {
        self.with_tolerance(value, ROUNDING_SHARE * value.abs())
    }

    /// A number with all the decimals it needs.
    pub(super) fn exact(self, value: f64) -> String {
        self.with_tolerance(value, 1e-9)
    }

    fn with_tolerance(self, value: f64, tolerance: f64) -> String {
        let fits = |decimals: &usize| {
            let text = format!("{:.*}", *decimals, value);
            text.parse::<f64>().is_ok_and(|v| (v - value).abs() <= tolerance && v != 0.0)
        };
        let most = MOST_DECIMALS.max(self.decimals);
        let decimals = (self.decimals..=most).find(fits).unwrap_or(if value == 0.0 {
            self.decimals
        } else {
            most
        });
        self.text(value, decimals)
    }

    fn text(self, value: f64, decimals: usize) -> String {
        let plain = format!("{:.*}", decimals, value.abs());
        let (whole, part) = plain.split_once('.').unwrap_or((&plain, ""));
        let whole = if whole == "0" && self.bare_point && !part.is_empty() {
            String::new()
        } else {
            format!("{whole:0>width$}", width = self.digits.max(1))
        };
        let is_zero = plain.chars().all(|c| matches!(c, '0' | '.'));
        let sign = match value < 0.0 && !is_zero {
            true => "-",
            false if self.plus => "+",
            false => "",
        };
        let mark = match (self.mark || decimals > 0, self.comma) {
            (false, _) => "",
            (true, true) => ",",
            (true, false) => ".",
        };
        format!("{sign}{whole}{mark}{part}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_changed_number_is_written_like_the_old_one() {
        for (old, value, expected) in [
            ("4000", 3200.0, "3200"),
            ("4000.", 3200.0, "3200."),
            ("6000.00", 4800.5, "4800.50"),
            (".5", 0.25, ".25"),
            ("0.5", 0.25, "0.25"),
            ("-.5", -0.75, "-.75"),
            ("2,5", 2.0, "2,0"),
            ("03", 7.0, "07"),
            ("+5.0", 6.0, "+6.0"),
            ("150", 49.5, "49.5"),
            ("3", 2.4, "2.4"),
            ("475", 158.175, "158"),
        ] {
            assert_eq!(WrittenStyle::of(old).near(value), expected, "{old} to {value}");
        }
    }

    #[test]
    fn exact_figures_get_the_decimals_they_need() {
        assert_eq!(WrittenStyle::of("-12").exact(-12.3), "-12.3");
        assert_eq!(WrittenStyle::of("-12.").exact(-13.0), "-13.");
        assert_eq!(WrittenStyle::of("-12.00").exact(0.0), "0.00");
    }

    #[test]
    fn only_plain_numbers_have_a_value() {
        assert_eq!(value_of("1 000.5"), Some(1000.5));
        assert_eq!(value_of("-,5"), Some(-0.5));
        for text in ["#1", "[2]", "1e5", "inf", "nan", "", "-"] {
            assert_eq!(value_of(text), None, "{text}");
        }
    }
}
