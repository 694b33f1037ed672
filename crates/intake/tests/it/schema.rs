//! The schema accepts what the reader accepts.

use intake::schema::{library, machine};

#[test]
fn the_schema_names_the_fields_that_are_read() {
    let schema = library();
    let processor = &schema["properties"]["processor"]["items"];
    for field in ["id", "cores", "sustained_power", "electrical", "package", "offers", "locked_sibling"] {
        assert!(processor["properties"][field].is_object(), "{field}");
    }
    assert!(processor["required"].as_array().unwrap().iter().any(|name| name == "cores"));
    assert_eq!(processor["additionalProperties"], false);
    let machine = machine();
    for field in ["processor", "board", "memory", "task", "wishes", "setting", "software", "load", "joint"] {
        assert!(machine["properties"][field].is_object(), "{field}");
    }
}
