//! The narrow face: capitals five pixels high, two and a half columns a letter.
//!
//! For a prompt that is read at a metre and a half, and for names too long for the large face. It
//! refuses small letters: at five pixels they would be lower than the eye can use.

use super::scripts;

/// The rows of a letter, parted by `/`.
const LETTERS: &[(char, &str)] = &[
    ('A', ".##./#..#/####/#..#/#..#"),
    ('B', "###./#..#/###./#..#/###."),
    ('C', ".###/#.../#.../#.../.###"),
    ('D', "###./#..#/#..#/#..#/###."),
    ('E', "####/#.../###./#.../####"),
    ('F', "####/#.../###./#.../#..."),
    ('G', ".###/#.../#.##/#..#/.###"),
    ('H', "#..#/#..#/####/#..#/#..#"),
    ('I', "###/.#./.#./.#./###"),
    ('J', "..##/...#/...#/#..#/.##."),
    ('K', "#..#/#.#./##../#.#./#..#"),
    ('L', "#.../#.../#.../#.../####"),
    ('M', "#...#/##.##/#.#.#/#...#/#...#"),
    ('N', "#...#/##..#/#.#.#/#..##/#...#"),
    ('O', ".##./#..#/#..#/#..#/.##."),
    ('P', "###./#..#/###./#.../#..."),
    ('Q', ".##./#..#/#..#/#.#./.#.#"),
    ('R', "###./#..#/###./#.#./#..#"),
    ('S', ".###/#.../.##./...#/###."),
    ('T', "#####/..#../..#../..#../..#.."),
    ('U', "#..#/#..#/#..#/#..#/.##."),
    ('V', "#...#/#...#/.#.#./.#.#./..#.."),
    ('W', "#...#/#...#/#.#.#/##.##/#...#"),
    ('X', "#...#/.#.#./..#../.#.#./#...#"),
    ('Y', "#...#/.#.#./..#../..#../..#.."),
    ('Z', "#####/...#./..#../.#.../#####"),
    ('0', ".##./#..#/#..#/#..#/.##."),
    ('1', ".#./##./.#./.#./###"),
    ('2', "###./...#/.##./#.../####"),
    ('3', "###./...#/.##./...#/###."),
    ('4', "#..#/#..#/####/...#/...#"),
    ('5', "####/#.../###./...#/###."),
    ('6', ".##./#.../###./#..#/.##."),
    ('7', "####/...#/..#./.#../.#.."),
    ('8', ".##./#..#/.##./#..#/.##."),
    ('9', ".##./#..#/.###/...#/.##."),
    (' ', "../../../../.."),
    ('-', ".../.../###/.../..."),
    ('\'', "#/#/././."),
    ('"', "#.#/#.#/.../.../..."),
    ('&', ".##../#..#./.##../#..#./.##.#"),
    ('/', "...#/..#./..#./.#../#..."),
    ('.', "././././#"),
    (',', "../../../.#/#."),
    (':', "./#/./#/."),
    (';', "../.#/../.#/#."),
    ('!', "#/#/#/./#"),
    ('?', "##./..#/.#./.../.#."),
    ('+', ".../.#./###/.#./..."),
    ('(', ".#/#./#./#./.#"),
    (')', "#./.#/.#/.#/#."),
    ('%', "#..#/...#/.##./#.../#..#"),
    ('~', "...../.#..#/#.##./...../....."),
    ('·', "././#/./."),
    ('=', ".../###/.../###/..."),
];

/// The rows of a capital, a figure or a sign; nothing where the face lacks it.
pub(super) fn rows(letter: char) -> Option<impl Iterator<Item = &'static str>> {
    let own = LETTERS.iter().find(|(c, _)| *c == letter);
    let rows = own.map(|(_, rows)| *rows);
    Some(rows.or_else(|| scripts::narrow(letter))?.split('/'))
}

/// The same six pixels high: the row that is repeated is the one with the least level ink, so that
/// no level stroke grows thicker.
pub(super) fn tall(letter: char) -> Option<Vec<&'static str>> {
    let mut rows: Vec<&str> = rows(letter)?.collect();
    let level = |row: &str| row.split('.').map(str::len).max().unwrap_or(0);
    let ends = rows.len().saturating_sub(1);
    let twice = (1..ends).rev().min_by_key(|&n| level(rows[n]))?;
    rows.insert(twice, rows[twice]);
    Some(rows)
}

#[cfg(test)]
mod tests {
    use super::super::bold;
    use super::*;

    fn drawn(letter: char) -> Vec<&'static str> {
        rows(letter).expect("listed").collect()
    }

    #[test]
    fn both_faces_have_the_same_letters() {
        assert_eq!(
            LETTERS
                .iter()
                .map(|(c, _)| *c)
                .find(|c| bold::rows(*c).is_none()),
            None
        );
        assert_eq!(bold::all().find(|c| rows(*c).is_none()), None);
    }

    #[test]
    fn every_letter_has_five_equal_rows_and_six_when_tall() {
        for c in bold::all() {
            let (rows, tall) = (drawn(c), tall(c).expect("listed"));
            assert_eq!((rows.len(), tall.len()), (5, 6), "{c}");
            assert!(tall.iter().all(|row| row.len() == rows[0].len()), "{c}");
        }
    }

    #[test]
    fn no_two_letters_look_alike_at_either_height() {
        // A figure nought is a capital O on purpose, as on a typewriter.
        let every: Vec<char> = bold::all().collect();
        for (n, a) in every.iter().enumerate() {
            for b in every[n + 1..].iter().filter(|b| (*a, **b) != ('O', '0')) {
                assert_ne!(drawn(*a), drawn(*b), "{a} and {b}");
                assert_ne!(tall(*a), tall(*b), "{a} and {b}, tall");
            }
        }
    }
}
