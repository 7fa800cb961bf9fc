//! Published JSON Schemas, made from the wire types.

use serde_json::{Map, Value, json};
use utoipa::openapi::{RefOr, Schema};
use utoipa::{PartialSchema, ToSchema};

/// JSON Schema (draft 2020-12) of a wire type, complete with all it refers to.
pub fn json_schema<T: ToSchema + PartialSchema>(title: &str) -> Value {
    let mut named: Vec<(String, RefOr<Schema>)> = Vec::new();
    T::schemas(&mut named);
    named.sort_by(|a, b| a.0.cmp(&b.0));
    named.dedup_by(|a, b| a.0 == b.0);
    let definitions: Map<String, Value> =
        named.iter().map(|(name, schema)| (name.clone(), plain(schema))).collect();
    let mut root = match plain(&T::schema()) {
        Value::Object(object) => object,
        other => Map::from_iter([("allOf".to_owned(), json!([other]))]),
    };
    root.insert("$schema".to_owned(), json!("https://json-schema.org/draft/2020-12/schema"));
    root.insert("title".to_owned(), json!(title));
    root.insert("$defs".to_owned(), Value::Object(definitions));
    Value::Object(root)
}

fn plain(schema: &RefOr<Schema>) -> Value {
    let mut value = serde_json::to_value(schema).unwrap_or(Value::Null);
    point_at_definitions(&mut value);
    value
}

/// OpenAPI keeps named schemas under `components`, JSON Schema under `$defs`.
fn point_at_definitions(value: &mut Value) {
    match value {
        Value::Object(object) => {
            for (key, child) in object {
                match child {
                    Value::String(target) if key == "$ref" => {
                        *target = target.replace("#/components/schemas/", "#/$defs/");
                    }
                    _ => point_at_definitions(child),
                }
            }
        }
        Value::Array(children) => children.iter_mut().for_each(point_at_definitions),
        _ => {}
    }
}
