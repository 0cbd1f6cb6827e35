//! The comments of a text, by the grammar of RON (its book, "Comments" and "String"): `//` to the end
//! of the line, `/* */` in one another, neither within a text in quotes.

/// Every comment, in the order of the text, with the line in which it begins, counted from 1.
pub(crate) fn comments(text: &str) -> Vec<(usize, String)> {
    let mut found = Vec::new();
    let (mut rest, mut line) = (text, 1);
    while let Some(c) = rest.chars().next() {
        let (long, is_comment) = match c {
            '"' => (quoted(rest), false),
            'r' if raw(rest).is_some() => (raw(rest).unwrap_or(1), false),
            '/' if rest.starts_with("//") => (rest.find('\n').unwrap_or(rest.len()), true),
            '/' if rest.starts_with("/*") => (block(rest), true),
            c => (c.len_utf8(), false),
        };
        let (token, behind) = rest.split_at(long);
        if is_comment {
            found.push((line, token.trim_end().to_owned()));
        }
        line += token.matches('\n').count();
        rest = behind;
    }
    found
}

fn quoted(rest: &str) -> usize {
    let mut is_escaped = true;
    let end = rest.char_indices().find(|(_, c)| {
        let is_end = *c == '"' && !is_escaped;
        is_escaped = *c == '\\' && !is_escaped;
        is_end
    });
    end.map_or(rest.len(), |(at, _)| at + 1)
}

fn raw(rest: &str) -> Option<usize> {
    let inner = rest[1..].trim_start_matches('#');
    let hashes = rest.len() - 1 - inner.len();
    let end = format!("\"{}", "#".repeat(hashes));
    let long = inner.strip_prefix('"')?.find(&end)?;
    Some(1 + hashes + 1 + long + end.len())
}

fn block(rest: &str) -> usize {
    let (mut deep, mut at) = (0, 0);
    loop {
        let behind = &rest[at..];
        let step = match behind {
            _ if behind.starts_with("/*") => {
                deep += 1;
                2
            }
            _ if behind.starts_with("*/") => {
                deep -= 1;
                2
            }
            _ => match behind.chars().next() {
                Some(c) => c.len_utf8(),
                None => return rest.len(),
            },
        };
        at += step;
        if deep == 0 {
            return at;
        }
    }
}
