//! Numbers and lengths in words, as they are spoken.

use crate::time::Span;

const SMALL: [&str; 20] = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
];
const TENS: [&str; 10] = [
    "", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
];

/// A number in words: `forty-five`, `one hundred and twenty`.
pub(in crate::plan) fn number(n: u64) -> String {
    match n {
        0..20 => SMALL[usize::try_from(n).unwrap_or(0)].to_owned(),
        20..100 => joined(
            TENS[usize::try_from(n / 10).unwrap_or(0)].to_owned(),
            "-",
            n % 10,
        ),
        100..1000 => joined(format!("{} hundred", number(n / 100)), " and ", n % 100),
        1000..1_000_000 => joined(format!("{} thousand", number(n / 1000)), " ", n % 1000),
        _ => n.to_string(),
    }
}

fn joined(large: String, between: &str, small: u64) -> String {
    if small == 0 {
        large
    } else {
        large + between + &number(small)
    }
}

/// A length in words, to the second: `forty-five seconds`, `two minutes`, `one minute thirty`.
pub(in crate::plan) fn span(length: Span) -> String {
    let secs = (length.millis() + 500) / 1000;
    match (secs / 60, secs % 60) {
        (0, 1) => "one second".to_owned(),
        (0, s) => format!("{} seconds", number(s)),
        (1, 0) => "one minute".to_owned(),
        (m, 0) => format!("{} minutes", number(m)),
        (1, s) => format!("one minute {}", number(s)),
        (m, s) => format!("{} minutes {}", number(m), number(s)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_words() {
        for (n, said) in [
            (1, "one"),
            (12, "twelve"),
            (20, "twenty"),
            (45, "forty-five"),
            (120, "one hundred and twenty"),
        ] {
            assert_eq!(number(n), said);
        }
        for (secs, said) in [
            (45, "forty-five seconds"),
            (60, "one minute"),
            (90, "one minute thirty"),
            (120, "two minutes"),
        ] {
            assert_eq!(span(Span::from_secs(secs)), said);
        }
    }
}
