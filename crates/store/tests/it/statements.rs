//! All SQL lies in one file and in one table.

use kw_store::STATEMENTS;

#[test]
fn every_statement_is_in_the_table() {
    let source = include_str!("../../src/statements.rs");
    let declared = source.matches("pub(crate) const").count();
    assert_eq!(declared, STATEMENTS.len(), "a statement is missing from STATEMENTS");
}

#[test]
fn no_statement_lies_elsewhere() {
    for (file, source) in [
        ("open.rs", include_str!("../../src/open.rs")),
        ("programs.rs", include_str!("../../src/programs.rs")),
        ("lib.rs", include_str!("../../src/lib.rs")),
    ] {
        for word in ["\"select ", "\"insert ", "\"update ", "\"delete "] {
            assert!(!source.contains(word), "{file} holds SQL: {word}");
        }
    }
}
