//! Who changed what and why, with undo and redo. The text received is never changed.

use crate::diff::unified;
use crate::edit::{EditRequest, Edited};
use std::sync::Arc;

/// Who makes a change, why and when.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Signature {
    /// Who.
    pub author: String,
    /// Why.
    pub reason: String,
    /// When, s since 1970-01-01 UTC; the caller's clock.
    pub at_unix_s: i64,
}

/// One change of a program.
#[derive(Clone, Debug, PartialEq)]
pub struct Revision {
    /// Its number, from 1; 0 is the text received.
    pub number: u32,
    /// Number of the text that was changed.
    pub parent: u32,
    /// Who, why, when.
    pub signature: Signature,
    /// The edits, in order.
    pub edits: Vec<EditRequest>,
    /// What changed, as a unified diff.
    pub diff: String,
    text: Arc<[u8]>,
}

impl Revision {
    /// The text after the change.
    pub fn text(&self) -> &[u8] {
        &self.text
    }
}

/// A program as received and all its changes; nothing is ever lost.
#[derive(Clone, Debug, PartialEq)]
pub struct History {
    received: Arc<[u8]>,
    revisions: Vec<Revision>,
    current: u32,
}

impl History {
    /// A program as received.
    pub fn new(received: &[u8]) -> Self {
        Self { received: received.into(), revisions: Vec::new(), current: 0 }
    }

    /// The text as received, byte for byte.
    pub fn received(&self) -> &[u8] {
        &self.received
    }

    /// The text in force.
    pub fn text(&self) -> &[u8] {
        self.revision(self.current).map_or(&self.received, |r| &r.text)
    }

    /// Number of the text in force; 0 is the text received.
    pub fn current(&self) -> u32 {
        self.current
    }

    /// All revisions, undone ones too, in order of making.
    pub fn revisions(&self) -> &[Revision] {
        &self.revisions
    }

    /// The revision of a number; `None` for 0 and numbers not given.
    pub fn revision(&self, number: u32) -> Option<&Revision> {
        self.revisions.get((number as usize).checked_sub(1)?)
    }

    /// Adds a change of the text in force and puts it in force; gives its number.
    pub fn push(&mut self, edited: Edited, edits: Vec<EditRequest>, signature: Signature) -> u32 {
        let number = self.revisions.len() as u32 + 1;
        let diff = unified(self.text(), &edited.text);
        self.revisions.push(Revision {
            number,
            parent: self.current,
            signature,
            edits,
            diff,
            text: edited.text.into(),
        });
        self.current = number;
        number
    }

    /// Goes back to the text before the change in force; `false` at the text received.
    pub fn undo(&mut self) -> bool {
        let Some(parent) = self.revision(self.current).map(|r| r.parent) else { return false };
        self.current = parent;
        true
    }

    /// Goes on to the latest change of the text in force; `false` if there is none.
    pub fn redo(&mut self) -> bool {
        let next = self.revisions.iter().rev().find(|r| r.parent == self.current);
        let Some(number) = next.map(|r| r.number) else { return false };
        self.current = number;
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn edited(text: &str) -> Edited {
        Edited { text: text.as_bytes().to_vec(), patches: Vec::new(), moves_changed: 0 }
    }

    #[test]
    fn undo_and_redo_walk_over_the_texts() {
        let mut history = History::new(b"a\n");
        assert!(!history.undo() && !history.redo());
        assert_eq!(history.push(edited("b\n"), Vec::new(), Signature::default()), 1);
        assert_eq!(history.push(edited("c\n"), Vec::new(), Signature::default()), 2);
        assert!(history.undo() && history.undo());
        assert_eq!(history.text(), b"a\n");
        assert!(history.redo());
        assert_eq!(history.text(), b"b\n");
        // Another change from here: the old one stays on record, redo takes the newer.
        history.push(edited("d\n"), Vec::new(), Signature::default());
        assert!(history.undo() && history.redo());
        assert_eq!(history.text(), b"d\n");
        assert_eq!(history.revisions().len(), 3);
        assert_eq!(history.revision(3).map(|r| r.parent), Some(1));
        assert_eq!(history.received(), b"a\n");
    }
}
