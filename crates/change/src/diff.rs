//! A unified diff of two texts that differ in a few lines.

/// Unchanged lines shown around a change.
const AROUND: usize = 2;

/// How far the same line is looked for after lines were put in or taken out.
const REACH: usize = 64;

/// Lines of a text without their line ends, which may be LF, CR LF or CR.
fn lines(text: &[u8]) -> Vec<String> {
    let text = String::from_utf8_lossy(text).replace("\r\n", "\n").replace('\r', "\n");
    let body = text.strip_suffix('\n').unwrap_or(&text);
    if body.is_empty() { Vec::new() } else { body.split('\n').map(str::to_owned).collect() }
}

/// A stretch of lines that differ: where in the old text and in the new.
struct Change {
    old: std::ops::Range<usize>,
    new: std::ops::Range<usize>,
}

/// The unified diff of two texts; empty if no line differs.
///
/// Bytes that are not UTF-8 are shown as replacement characters. Texts of equal numbers of lines
/// are compared line by line; otherwise the shortest way to a common line within 64 lines is taken.
/// Cost is linear in the texts.
pub fn unified(old: &[u8], new: &[u8]) -> String {
    let (old, new) = (lines(old), lines(new));
    let changes = changes(&old, &new);
    let mut out = String::new();
    let mut index = 0;
    while index < changes.len() {
        let mut last = index;
        while let (Some(a), Some(b)) = (changes.get(last), changes.get(last + 1)) {
            if b.old.start - a.old.end > 2 * AROUND {
                break;
            }
            last += 1;
        }
        hunk(&mut out, (&old, &new), &changes[index..=last]);
        index = last + 1;
    }
    out
}

fn changes(old: &[String], new: &[String]) -> Vec<Change> {
    let mut changes: Vec<Change> = Vec::new();
    let (mut i, mut j) = (0, 0);
    while i < old.len() || j < new.len() {
        if i < old.len() && j < new.len() && old[i] == new[j] {
            (i, j) = (i + 1, j + 1);
            continue;
        }
        let (skip_old, skip_new) =
            if old.len() == new.len() { (1, 1) } else { resync(&old[i..], &new[j..]) };
        let next = (i + skip_old, j + skip_new);
        match changes.last_mut() {
            Some(last) if last.old.end == i && last.new.end == j => {
                (last.old.end, last.new.end) = next;
            }
            _ => changes.push(Change { old: i..next.0, new: j..next.1 }),
        }
        (i, j) = next;
    }
    changes
}

/// How many lines of each to pass over until both go on alike.
fn resync(old: &[String], new: &[String]) -> (usize, usize) {
    for total in 1..=REACH {
        for skip_old in 0..=total {
            let skip_new = total - skip_old;
            if let (Some(a), Some(b)) = (old.get(skip_old), new.get(skip_new))
                && a == b
            {
                return (skip_old, skip_new);
            }
        }
    }
    (old.len().min(1), new.len().min(1))
}

fn hunk(out: &mut String, (old, new): (&[String], &[String]), changes: &[Change]) {
    let (Some(first), Some(last)) = (changes.first(), changes.last()) else { return };
    let before = first.old.start.min(AROUND);
    let after = (old.len() - last.old.end).min(AROUND);
    let (from_old, to_old) = (first.old.start - before, last.old.end + after);
    let (from_new, to_new) = (first.new.start - before, last.new.end + after);
    let range = |from: usize, to: usize| {
        let count = to - from;
        format!("{},{count}", if count == 0 { from } else { from + 1 })
    };
    out.push_str(&format!("@@ -{} +{} @@\n", range(from_old, to_old), range(from_new, to_new)));
    let mut say = |mark: char, lines: &[String]| {
        for line in lines {
            out.push(mark);
            out.push_str(line);
            out.push('\n');
        }
    };
    let mut at = from_old;
    for change in changes {
        say(' ', &old[at..change.old.start]);
        say('-', &old[change.old.clone()]);
        say('+', &new[change.new.clone()]);
        at = change.old.end;
    }
    say(' ', &old[at..to_old]);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn changed_lines_are_shown_with_two_lines_around() {
        let old = b"a\nb\nc\nd\ne\nf\ng\nh\ni\n";
        let new = b"a\nb\nC\nd\ne\nf\ng\nh\nI\n";
        let expected = "@@ -1,5 +1,5 @@\n a\n b\n-c\n+C\n d\n e\n@@ -7,3 +7,3 @@\n g\n h\n-i\n+I\n";
        assert_eq!(unified(old, new), expected);
    }

    #[test]
    fn lines_put_in_and_taken_out() {
        assert_eq!(unified(b"a\r\nb\r\n", b"a\r\nM0\r\nb\r\n"), "@@ -1,2 +1,3 @@\n a\n+M0\n b\n");
        assert_eq!(unified(b"a\nM0\nb\n", b"a\nb\n"), "@@ -1,3 +1,2 @@\n a\n-M0\n b\n");
        assert_eq!(unified(b"", b"x\n"), "@@ -0,0 +1,1 @@\n+x\n");
        assert_eq!(unified(b"x\n", b"x\n"), "");
    }
}
