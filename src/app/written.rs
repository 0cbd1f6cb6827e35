//! Fields of the configuration as a file says them.

use crate::session::Ron;
use crate::session::edit::FieldText;

/// A field as a file says it, and whether it is the usual one.
pub(super) fn field<T: ToString + PartialEq>(
    name: &'static str,
    value: &T,
    usual: &T,
) -> FieldText {
    FieldText {
        name,
        value: value.to_string(),
        is_usual: value == usual,
    }
}

/// A field that names a device; without a name it is the usual one.
pub(super) fn name_field(name: &'static str, device: &str) -> FieldText {
    let value = match device {
        "" => "None".to_owned(),
        device => Ron::text(device).file().trim_end().to_owned(),
    };
    FieldText {
        name,
        value,
        is_usual: device.is_empty(),
    }
}
