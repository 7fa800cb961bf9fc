//! Plain numbers: optional sign, digits, optional point, digits; blanks allowed inside.

/// A number as read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Number {
    /// Its value.
    pub(crate) value: f64,
    /// Index of the first byte that is not a part of it; blanks behind it are passed over.
    pub(crate) next: usize,
    /// Whether it has a decimal mark.
    pub(crate) point: bool,
}

/// Why a number cannot be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum NumberFault {
    /// No digit, a second point.
    Malformed,
    /// Magnitude above [`LARGEST`].
    TooLarge,
}

/// Largest magnitude read, far above any coordinate, small enough that no later arithmetic on a
/// few of them overflows.
pub(crate) const LARGEST: f64 = 1e12;

/// Powers of ten that are exact.
const POWERS: [f64; 19] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
    1e17, 1e18,
];

#[inline(always)]
fn byte(text: &[u8], at: usize) -> u8 {
    text.get(at).copied().unwrap_or(b'\n')
}

/// Reads a number of at most 15 digits without blanks inside, with a point as decimal mark.
///
/// Such a number is digits / 10^n with both exact, so that one division rounds it correctly.
/// `None` for everything else, readable or not.
#[inline(always)]
pub(crate) fn fast(text: &[u8], start: usize) -> Option<Number> {
    let mut at = start;
    let first = byte(text, at);
    let negative = first == b'-';
    if negative || first == b'+' {
        at += 1;
    }
    let mut digits: u64 = 0;
    let whole_start = at;
    loop {
        let digit = byte(text, at).wrapping_sub(b'0');
        if digit > 9 {
            break;
        }
        digits = digits.wrapping_mul(10).wrapping_add(u64::from(digit));
        at += 1;
    }
    let mut count = at - whole_start;
    let mut decimals = 0;
    let point = byte(text, at) == b'.';
    if point {
        at += 1;
        let fraction_start = at;
        loop {
            let digit = byte(text, at).wrapping_sub(b'0');
            if digit > 9 {
                break;
            }
            digits = digits.wrapping_mul(10).wrapping_add(u64::from(digit));
            at += 1;
        }
        decimals = at - fraction_start;
        count += decimals;
    }
    if count == 0 || count > 15 {
        return None;
    }
    let mut end = byte(text, at);
    if end == b' ' || end == b'\t' {
        while matches!(byte(text, at), b' ' | b'\t') {
            at += 1;
        }
        end = byte(text, at);
        if end.is_ascii_digit() {
            return None;
        }
    }
    if end == b'.' || end == b',' {
        return None;
    }
    let magnitude = digits as f64;
    let magnitude = if decimals == 0 { magnitude } else { magnitude / POWERS[decimals] };
    if magnitude > LARGEST {
        return None;
    }
    Some(Number { value: if negative { -magnitude } else { magnitude }, next: at, point })
}

/// Reads any number; on a fault the second value is the index behind what looks like a number.
pub(crate) fn slow(
    text: &[u8],
    start: usize,
    decimal_comma: bool,
    scratch: &mut Vec<u8>,
) -> Result<Number, (NumberFault, usize)> {
    scratch.clear();
    let mut at = start;
    let (mut point, mut digits, mut malformed) = (false, 0_usize, false);
    while let Some(&b) = text.get(at) {
        match b {
            b' ' | b'\t' => {}
            b'+' | b'-' if scratch.is_empty() => scratch.push(b),
            b'0'..=b'9' => {
                digits += 1;
                scratch.push(b);
            }
            b'.' | b',' if b == b'.' || decimal_comma => {
                malformed |= point;
                point = true;
                scratch.push(b'.');
            }
            _ => break,
        }
        at += 1;
    }
    if malformed || digits == 0 {
        return Err((NumberFault::Malformed, at));
    }
    match fast_float2::parse::<f64, _>(&*scratch) {
        Ok(value) if value.abs() <= LARGEST => Ok(Number { value, next: at, point }),
        Ok(_) => Err((NumberFault::TooLarge, at)),
        Err(_) => Err((NumberFault::Malformed, at)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<f64, NumberFault> {
        let text = text.as_bytes();
        let slowly = slow(text, 0, false, &mut Vec::new());
        if let Some(fast) = fast(text, 0) {
            assert_eq!(slowly, Ok(fast));
        }
        slowly.map(|n| n.value).map_err(|(fault, _)| fault)
    }

    #[test]
    fn plain_numbers() {
        for (text, value) in [
            ("+.5", 0.5),
            ("5.", 5.0),
            ("-0", 0.0),
            ("+0. 12 34y 7", 0.1234),
            ("1234567890.12345", 1_234_567_890.123_45),
            ("0.1X", 0.1),
            ("00000000000000000000000000001.5", 1.5),
        ] {
            assert_eq!(read(text), Ok(value), "{text}");
        }
    }

    #[test]
    fn what_is_no_number_is_told() {
        for text in ["", ".", "+", "-.", "1.0.2", "--1", "X"] {
            assert_eq!(read(text), Err(NumberFault::Malformed), "{text}");
        }
        assert_eq!(read(&"9".repeat(400)), Err(NumberFault::TooLarge));
        assert_eq!(read("1000000000001"), Err(NumberFault::TooLarge));
    }

    #[test]
    fn a_comma_is_a_point_where_the_dialect_says_so() {
        assert_eq!(slow(b"1,5", 0, true, &mut Vec::new()).map(|n| n.value), Ok(1.5));
        assert_eq!(slow(b"1,5", 0, false, &mut Vec::new()).map(|n| n.next), Ok(1));
    }

    proptest::proptest! {
        #[test]
        fn the_fast_way_gives_the_same_bits(text in "[+-]?[0-9]{0,9}\\.?[0-9]{0,9}") {
            if let Some(number) = fast(text.as_bytes(), 0) {
                let reference: f64 = text.parse().unwrap();
                proptest::prop_assert_eq!(number.value.to_bits(), reference.to_bits());
            }
        }
    }
}
