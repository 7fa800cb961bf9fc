//! Source text as received, never changed: several files in one space of byte offsets.

use std::sync::{Arc, OnceLock};

/// A range of bytes in a [`Sources`] space; `start <= end`, end exclusive.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span {
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// The range `start..end`; an end before the start is taken as empty.
    pub fn new(start: u32, end: u32) -> Self {
        Self { start, end: end.max(start) }
    }
}

/// Bytes of one file: owned, shared or mapped.
pub type Bytes = Arc<dyn AsRef<[u8]> + Send + Sync>;

/// One file of source text with its place in the common offset space.
#[derive(Clone)]
pub struct SourceFile {
    /// Name as the person gave it.
    pub name: String,
    /// Offset of the first byte in the common space.
    pub base: u32,
    bytes: Bytes,
    line_starts: Arc<OnceLock<Vec<u32>>>,
}

impl std::fmt::Debug for SourceFile {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} ({} bytes)", self.name, self.bytes().len())
    }
}

/// A place as people count: lines and columns from 1, columns in characters.
///
/// Lines that are not valid UTF-8 count one column per byte.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct LineColumn {
    /// Line, from 1.
    pub line: u32,
    /// Column, from 1.
    pub column: u32,
}

impl SourceFile {
    /// The whole text.
    pub fn bytes(&self) -> &[u8] {
        (*self.bytes).as_ref()
    }

    /// The text of a span that lies in this file; parts outside the file are cut off.
    pub fn slice(&self, span: Span) -> &[u8] {
        let text = self.bytes();
        let clamp = |at: u32| (at.saturating_sub(self.base) as usize).min(text.len());
        &text[clamp(span.start)..clamp(span.end)]
    }

    /// Number of lines; a last line without line end counts.
    pub fn line_count(&self) -> u32 {
        self.line_starts().len() as u32
    }

    /// Span of line `line` (from 1) in the common space, without its line end.
    pub fn line_span(&self, line: u32) -> Option<Span> {
        let starts = self.line_starts();
        let index = (line as usize).checked_sub(1)?;
        let start = *starts.get(index)?;
        let next = starts.get(index + 1).copied().unwrap_or(self.bytes().len() as u32);
        let body = &self.bytes()[start as usize..next as usize];
        let kept = body.iter().rposition(|b| !matches!(b, b'\r' | b'\n')).map_or(0, |i| i + 1);
        Some(Span::new(self.base + start, self.base + start + kept as u32))
    }

    /// Line and column of an offset in the common space.
    pub fn line_column(&self, offset: u32) -> LineColumn {
        let at = offset.saturating_sub(self.base).min(self.bytes().len() as u32);
        let starts = self.line_starts();
        let index = starts.partition_point(|&s| s <= at).saturating_sub(1);
        let before = &self.bytes()[starts[index] as usize..at as usize];
        let column = std::str::from_utf8(before).map_or(before.len(), |s| s.chars().count());
        LineColumn { line: index as u32 + 1, column: column as u32 + 1 }
    }

    /// Line ends are LF, CR LF or a lone CR.
    fn line_starts(&self) -> &[u32] {
        self.line_starts.get_or_init(|| {
            let text = self.bytes();
            let mut starts = vec![0];
            for at in memchr::memchr2_iter(b'\n', b'\r', text) {
                let inside_crlf = text[at] == b'\r' && text.get(at + 1) == Some(&b'\n');
                if !inside_crlf && at + 1 < text.len() {
                    starts.push(at as u32 + 1);
                }
            }
            starts
        })
    }
}

/// All files of one reading, in one space of byte offsets, so that a `u32` names any place.
#[derive(Clone, Debug, Default)]
pub struct Sources {
    files: Vec<SourceFile>,
}

/// The text does not fit into the 4 GiB offset space.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SourcesFull {
    /// Bytes of the file that did not fit.
    pub bytes: usize,
}

impl std::fmt::Display for SourcesFull {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "a file of {} bytes does not fit: all texts together may have 4 GiB", self.bytes)
    }
}

impl std::error::Error for SourcesFull {}

impl Sources {
    /// A space with one file, owned.
    pub fn single(name: &str, text: Vec<u8>) -> Result<Self, SourcesFull> {
        let mut sources = Self::default();
        sources.add(name, Arc::new(text))?;
        Ok(sources)
    }

    /// Adds a file; gives its index. One byte of distance keeps neighbouring files apart.
    pub fn add(&mut self, name: &str, bytes: Bytes) -> Result<usize, SourcesFull> {
        let length = (*bytes).as_ref().len();
        let base = self.files.last().map_or(0, |f| u64::from(f.base) + f.bytes().len() as u64 + 1);
        if base + length as u64 >= u64::from(u32::MAX) {
            return Err(SourcesFull { bytes: length });
        }
        self.files.push(SourceFile {
            name: name.to_owned(),
            base: base as u32,
            bytes,
            line_starts: Arc::default(),
        });
        Ok(self.files.len() - 1)
    }

    /// All files in order of adding.
    pub fn files(&self) -> &[SourceFile] {
        &self.files
    }

    /// The file that holds an offset.
    pub fn file_of(&self, offset: u32) -> Option<&SourceFile> {
        let index = self.files.partition_point(|f| f.base <= offset).checked_sub(1)?;
        self.files.get(index)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_end_with_lf_crlf_or_a_lone_cr() {
        let sources = Sources::single("a.nc", b"G0\nX1\r\nY2\rZ3".to_vec()).unwrap();
        let file = &sources.files()[0];
        assert_eq!(file.line_count(), 4);
        let text: Vec<&[u8]> = (1..=4).map(|n| file.slice(file.line_span(n).unwrap())).collect();
        assert_eq!(text, [b"G0", b"X1", b"Y2", b"Z3"]);
        assert_eq!(file.line_column(10), LineColumn { line: 4, column: 1 });
    }

    #[test]
    fn columns_count_characters_or_bytes_of_other_encodings() {
        let utf8 = Sources::single("u.nc", "(ä) X1".as_bytes().to_vec()).unwrap();
        assert_eq!(utf8.files()[0].line_column(5).column, 5);
        let cp1252 = Sources::single("w.nc", b"(\xe4) X1".to_vec()).unwrap();
        assert_eq!(cp1252.files()[0].line_column(4).column, 5);
    }

    #[test]
    fn offsets_of_later_files_do_not_touch() {
        let mut sources = Sources::single("a", b"12".to_vec()).unwrap();
        sources.add("b", Arc::new(b"34".to_vec())).unwrap();
        assert_eq!(sources.file_of(1).unwrap().name, "a");
        assert_eq!(sources.file_of(3).unwrap().name, "b");
        assert_eq!(sources.files()[1].slice(Span::new(3, 5)), b"34");
        assert_eq!(sources.files()[0].slice(Span::new(1, 99)), b"2");
    }
}
