//! A line of a record: a JSON object whose last field is a checksum of all that stands before it.
//!
//! What the object means is not known here. The checksum is CRC-32 (ISO-HDLC, the one of zip and
//! PNG) over the bytes before `,"crc":`, in eight small hexadecimal digits.

const KEY: &[u8] = br#","crc":""#;
const END: &[u8] = br#""}"#;
const DIGITS: usize = 8;
const SEAL: usize = KEY.len() + DIGITS + END.len();

/// The JSON object as a line, with its checksum and its newline.
pub(super) fn sealed(mut object: String) -> Vec<u8> {
    let closed = object.pop();
    debug_assert_eq!(closed, Some('}'), "a line is a JSON object");
    let mut line = object.into_bytes();
    let sum = digits(&line);
    line.extend_from_slice(KEY);
    line.extend_from_slice(sum.as_bytes());
    line.extend_from_slice(END);
    line.push(b'\n');
    line
}

/// Whether the line, without its newline, is whole.
pub(super) fn is_whole(line: &[u8]) -> bool {
    let Some(start) = line.len().checked_sub(SEAL) else {
        return false;
    };
    let (body, seal) = line.split_at(start);
    seal.starts_with(KEY)
        && seal.ends_with(END)
        && seal[KEY.len()..KEY.len() + DIGITS] == *digits(body).as_bytes()
}

/// Whether a whole line stands at the beginning of these bytes, with something behind it: then
/// what follows was written later, and cannot be what an interrupted write left.
pub(super) fn begins_whole(bytes: &[u8]) -> bool {
    bytes
        .windows(SEAL)
        .enumerate()
        .filter(|(_, seal)| seal.starts_with(KEY))
        .any(|(at, _)| at + SEAL < bytes.len() && is_whole(&bytes[..at + SEAL]))
}

fn digits(body: &[u8]) -> String {
    format!("{:08x}", crc32fast::hash(body))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The check value of CRC-32/ISO-HDLC for the nine digits is 0xcbf43926 (Koopman's and the
    /// RevEng catalogue of parametrised CRC algorithms; from memory).
    #[test]
    fn the_checksum_is_the_standard_one() {
        assert_eq!(digits(b"123456789"), "cbf43926");
    }

    #[test]
    fn no_single_changed_byte_goes_unseen() {
        let line = sealed(r#"{"n":3,"what":"x"}"#.to_owned());
        let line = &line[..line.len() - 1];
        assert!(is_whole(line));
        for at in 0..line.len() {
            for bit in 0..8 {
                let mut bad = line.to_vec();
                bad[at] ^= 1 << bit;
                assert!(!is_whole(&bad), "byte {at}, bit {bit}");
            }
        }
    }

    #[test]
    fn a_whole_line_before_something_else_is_found() {
        let line = sealed(r#"{"n":3}"#.to_owned());
        assert!(!begins_whole(&line[..line.len() - 1]));
        assert!(begins_whole(&line));
        assert!(!begins_whole(&line[1..]));
    }
}
