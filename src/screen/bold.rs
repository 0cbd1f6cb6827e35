//! The bold face: capitals seven pixels high, upright strokes two pixels wide and level ones one.
//!
//! On a quarter-cell grid a pixel is twice as high as wide, so both kinds of stroke look equally
//! thick. It refuses serifs and small letters: neither survives three metres.

use super::scripts;

/// The rows of a letter, parted by `/`; a number before a row repeats it.
const LETTERS: &[(char, &str)] = &[
    ('A', "..##../.####./2##..##/######/2##..##"),
    ('B', "#####./2##..##/#####./2##..##/#####."),
    ('C', ".####./##..##/3##..../##..##/.####."),
    ('D', "#####./5##..##/#####."),
    ('E', "######/2##..../#####./2##..../######"),
    ('F', "######/2##..../#####./3##...."),
    ('G', ".####./##..##/##..../##.###/2##..##/.####."),
    ('H', "3##..##/######/3##..##"),
    ('I', "7##"),
    ('J', "5....##/##..##/.####."),
    ('K', "##..##/##.##./####../###.../####../##.##./##..##"),
    ('L', "6##..../######"),
    ('M', "##....##/###..###/########/##.##.##/3##....##"),
    ('N', "##...##/###..##/####.##/##.####/##..###/2##...##"),
    ('O', ".####./5##..##/.####."),
    ('P', "#####./3##..##/#####./2##...."),
    ('Q', ".####./4##..##/##.##./.##.##"),
    ('R', "#####./2##..##/#####./####../##.##./##..##"),
    ('S', ".####./##..##/##..../.####./....##/##..##/.####."),
    ('T', "######/6..##.."),
    ('U', "6##..##/.####."),
    ('V', "5##..##/.####./..##.."),
    ('W', "3##....##/##.##.##/########/###..###/##....##"),
    ('X', "2##..##/.####./..##../.####./2##..##"),
    ('Y', "2##..##/.####./4..##.."),
    ('Z', "######/....##/...##./..##../.##.../##..../######"),
    ('0', ".####./5##..##/.####."),
    ('1', "..##/.###/####/4..##"),
    ('2', ".####./##..##/....##/...##./..##../.##.../######"),
    ('3', ".####./##..##/....##/..###./....##/##..##/.####."),
    ('4', "...###/..####/.##.##/##..##/######/2....##"),
    ('5', "######/##..../#####./2....##/##..##/.####."),
    ('6', ".####./##..##/##..../#####./2##..##/.####."),
    ('7', "######/....##/...##./..##../3.##..."),
    ('8', ".####./2##..##/.####./2##..##/.####."),
    ('9', ".####./2##..##/.#####/....##/##..##/.####."),
    (' ', "7.."),
    ('-', "3..../####/3...."),
    ('\'', "2##/5.."),
    ('"', "2##.##/5....."),
    (
        '&',
        ".###.../##.##../##.##../.###.../##.#.##/##..##./.###.##",
    ),
    ('/', "...##/...##/..##./..##./.##../.##../##..."),
    ('.', "6../##"),
    (',', "5.../.##/##."),
    (':', "../2##/../2##/.."),
    (';', ".../2.##/.../.##/.##/##."),
    ('!', "4##/2../##"),
    ('?', ".####./##..##/....##/..###./..##../....../..##.."),
    ('+', "2....../..##../######/..##../2......"),
    ('(', ".##/5##./.##"),
    (')', "##./5.##/##."),
    ('%', "##..##/##..##/...##./..##../.##.../##..##/##..##"),
    ('~', "3......./.##..##/##..##./2......."),
    ('·', "3../##/3.."),
    ('=', "2..../####/..../####/2...."),
];

/// The rows of a capital, a figure or a sign; nothing where the face lacks it.
pub(super) fn rows(letter: char) -> Option<impl Iterator<Item = &'static str>> {
    let own = LETTERS.iter().find(|(c, _)| *c == letter);
    let rows = own.map(|(_, rows)| *rows).or_else(|| scripts::bold(letter));
    Some(rows?.split('/').flat_map(repeated))
}

fn repeated(row: &'static str) -> impl Iterator<Item = &'static str> {
    let times = row.chars().next().and_then(|c| c.to_digit(10));
    let row = row.trim_start_matches(|c: char| c.is_ascii_digit());
    std::iter::repeat_n(row, times.unwrap_or(1) as usize)
}

/// Every letter and sign of the face.
pub(super) fn all() -> impl Iterator<Item = char> {
    LETTERS.iter().map(|(c, _)| *c).chain(scripts::all())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drawn(letter: char) -> Vec<&'static str> {
        rows(letter).expect("listed").collect()
    }

    #[test]
    fn every_letter_has_seven_equal_rows() {
        for c in all() {
            let rows = drawn(c);
            assert_eq!(rows.len(), 7, "{c}");
            assert!(rows.iter().all(|row| row.len() == rows[0].len()), "{c}");
        }
    }

    /// Upright strokes are two pixels, so that every scale keeps them equally thick.
    #[test]
    fn no_letter_has_a_single_upright_pixel() {
        for c in all().filter(|c| c.is_alphanumeric()) {
            for row in drawn(c) {
                assert!(row.split('.').all(|run| run.len() != 1), "{c} {row}");
            }
        }
    }

    #[test]
    fn no_two_letters_look_alike() {
        // A nought is a capital O on purpose, as on a typewriter.
        let every: Vec<char> = all().collect();
        for (n, a) in every.iter().enumerate() {
            for b in &every[n + 1..] {
                assert!(
                    drawn(*a) != drawn(*b) || (*a, *b) == ('O', '0'),
                    "{a} and {b}"
                );
            }
        }
    }
}
