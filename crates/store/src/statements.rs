//! Every SQL statement, so that a test can prepare each on both databases.

pub(crate) const FIND_PROGRAM: &str = "select id, name, sha256, bytes, lines, added_at_ms \
     from program where sha256 = $1 and name = $2";
pub(crate) const ADD_PROGRAM: &str = "insert into program (name, sha256, bytes, lines, added_at_ms) \
     values ($1, $2, $3, $4, $5) on conflict (sha256, name) do nothing";
pub(crate) const ADD_PART: &str = "insert into text_part (sha256, part, content) \
     values ($1, $2, $3) on conflict (sha256, part) do nothing";
pub(crate) const LIST_PROGRAMS: &str = "select id, name, sha256, bytes, lines, added_at_ms \
     from program order by added_at_ms desc, id desc";
pub(crate) const GET_PROGRAM: &str = "select id, name, sha256, bytes, lines, added_at_ms \
     from program where id = $1";
pub(crate) const GET_PART: &str = "select content from text_part where sha256 = $1 and part = $2";

/// All statements, by name.
pub const STATEMENTS: &[(&str, &str)] = &[
    ("find_program", FIND_PROGRAM),
    ("add_program", ADD_PROGRAM),
    ("add_part", ADD_PART),
    ("list_programs", LIST_PROGRAMS),
    ("get_program", GET_PROGRAM),
    ("get_part", GET_PART),
];
