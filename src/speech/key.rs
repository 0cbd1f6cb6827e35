//! Under which name a prompt that was made is kept: by what is said, by whom, and how fast.

/// Raised with every change to how a clip is trimmed or levelled.
const VERSION: u8 = 1;

/// FNV-1a over 128 bits (from memory: offset basis and prime of its authors' page): the name needs no
/// secrecy, and two of ten million texts share one with a chance below 10^-24.
pub(super) fn name(voice: &str, text: &str) -> String {
    const BASIS: u128 = 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d;
    const PRIME: u128 = 0x0000_0000_0100_0000_0000_0000_0000_013b;
    let bytes = [VERSION].into_iter().chain(voice.bytes()).chain([0]);
    let hash = bytes.chain(text.bytes()).fold(BASIS, |hash, byte| {
        (hash ^ u128::from(byte)).wrapping_mul(PRIME)
    });
    format!("{hash:032x}.wav")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn voice_and_text_make_the_name() {
        let names = [("a", "bc"), ("ab", "c"), ("a", "bd"), ("", "abc")].map(|(v, t)| name(v, t));
        let all: std::collections::HashSet<_> = names.iter().collect();
        assert_eq!(all.len(), names.len());
        assert_eq!(name("a", "bc"), names[0]);
        assert!(names.iter().all(|name| name.len() == 36));
    }
}
