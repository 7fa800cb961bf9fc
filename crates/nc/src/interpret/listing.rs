//! Looking at lines without running them: program numbers, `%`, what is left over.

use crate::lex::{line_end, next_line};

/// Lines that begin with a program number: start of the line and number.
pub(super) fn numbered_lines(text: &[u8]) -> impl Iterator<Item = (usize, u32)> + '_ {
    let mut at = 0;
    std::iter::from_fn(move || {
        while at < text.len() {
            let start = at;
            at = next_line(text, line_end(text, start));
            if let Some(number) = program_number(&text[start..at]) {
                return Some((start, number));
            }
        }
        None
    })
}

pub(super) fn program_number(line: &[u8]) -> Option<u32> {
    let line = line.trim_ascii_start();
    let rest = match line.first()? {
        b'O' | b'o' | b':' => line[1..].trim_ascii_start(),
        _ => return None,
    };
    let count = rest.iter().take_while(|b| b.is_ascii_digit()).count();
    if count == 0 || count > 8 {
        return None;
    }
    std::str::from_utf8(&rest[..count]).ok()?.parse().ok()
}

/// Number of a file named by number, such as `O0200.nc` or `200.nc`.
pub(super) fn number_in_name(name: &str) -> Option<u32> {
    let file = name.rsplit(['/', '\\']).next()?;
    let stem = file.split('.').next()?;
    let digits = stem.strip_prefix(['O', 'o']).unwrap_or(stem);
    if digits.is_empty() || digits.len() > 8 || !digits.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    digits.parse().ok()
}

/// Whether a line that begins with `%` is among these.
pub(super) fn has_percent_line(text: &[u8]) -> bool {
    memchr::memchr_iter(b'%', text).any(|at| {
        let before = text[..at].iter().rev().find(|b| !matches!(b, b' ' | b'\t'));
        before.is_none_or(|b| matches!(b, b'\n' | b'\r'))
    })
}

/// Start of the first line behind the end that is neither blank, `%`, a comment nor the start of a
/// subprogram.
pub(super) fn line_left_over(text: &[u8], rest: usize) -> Option<usize> {
    let mut at = rest;
    while at < text.len() {
        let start = at;
        at = next_line(text, line_end(text, start));
        let line = text[start..at].trim_ascii();
        match line.first() {
            None | Some(b'(' | b';' | b'%' | 0) => {}
            Some(_) if program_number(line).is_some() => return None,
            Some(_) => return Some(start),
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn program_numbers_are_found_at_the_start_of_lines() {
        let text = b"G0 X1\nO100 (O5)\r\n :7\n(O8)\nO\nO123456789\n";
        let found: Vec<(usize, u32)> = numbered_lines(text).collect();
        assert_eq!(found, [(6, 100), (17, 7)]);
    }

    #[test]
    fn files_may_be_named_by_number() {
        assert_eq!(number_in_name("subs/O0200.nc"), Some(200));
        assert_eq!(number_in_name("200.NC"), Some(200));
        assert_eq!(number_in_name("panel.nc"), None);
        assert_eq!(number_in_name("O.nc"), None);
    }

    #[test]
    fn percent_lines_are_those_that_begin_with_it() {
        assert!(has_percent_line(b"G0 X1\n % \n"));
        assert!(!has_percent_line(b"G0 X1 (50 %)\n"));
    }
}
