//! Integration tests of kw-cutting: check cases with their source, invariants, outside references.
