//! Text that is not TOML.

use toml::de::Error;

use crate::diagnostic::{Code, Collector, Diagnostic, Source};

/// Reports every syntax error, one a line: what follows on the same line is mostly noise.
pub(super) fn report(source: &Source, errors: &[Error], found: &mut Collector) {
    let mut places: Vec<_> = errors
        .iter()
        .map(|error| {
            let span = error.span().unwrap_or(0..0);
            (source.place(span), error.message())
        })
        .collect();
    places.sort_by_key(|(place, _)| place.span.start);
    places.dedup_by_key(|(place, _)| place.line);
    for (place, message) in places {
        let line = line_of(source.text(), place.span.start);
        let (message, help) = reword(message, line);
        found.push(Diagnostic::wrong(Code::JobSyntax, message).at(place, "").help(help));
    }
}

fn line_of(text: &str, at: usize) -> &str {
    let from = text[..at].rfind('\n').map_or(0, |at| at + 1);
    text[from..].lines().next().unwrap_or("").trim()
}

/// The message in words of ours, and what to do.
fn reword(message: &str, line: &str) -> (String, String) {
    if let Some((whole, fraction)) = decimal_comma(line) {
        return (
            format!("`{whole},{fraction}` has a decimal comma, and the job file takes a point"),
            format!("write `{whole}.{fraction}`"),
        );
    }
    if let Some((key, value)) = line.split_once('=') {
        let (key, value) = (key.trim(), value.split('#').next().unwrap_or("").trim());
        let bare = value.starts_with(|c: char| c.is_alphabetic())
            && value.chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_' | '.' | ' '));
        if bare && !matches!(value, "true" | "false" | "inf" | "nan") {
            return (format!("`{value}` is text and needs quotes"), format!("write `{key} = \"{value}\"`"));
        }
        let is_digit = |c: char| c.is_ascii_digit() || matches!(c, '.' | 'O' | 'o' | '-');
        if value.starts_with(|c: char| c.is_ascii_digit()) && value.contains(['O', 'o']) && value.chars().all(is_digit)
        {
            let meant = value.replace(['O', 'o'], "0");
            return (format!("`{value}` has a letter among its digits"), format!("write `{key} = {meant}`"));
        }
        let number = value.trim_end_matches(|c: char| c.is_alphabetic() || c == ' ');
        let starts = number.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '+' | '.'));
        if starts && number.len() < value.len() && !value.contains(['"', '{', '[']) {
            return (
                format!("`{value}` is a value with a unit and needs quotes"),
                format!("write `{key} = \"{value}\"`"),
            );
        }
    }
    if message.contains("duplicate key") {
        return ("this key is there twice".to_owned(), "keep one of them".to_owned());
    }
    let help = if message.contains("string") {
        "close the text with a second quote on the same line"
    } else {
        "each line is `key = value` or a section such as `[engine]`; text stands in quotes"
    };
    (format!("the job file cannot be read here: {message}"), help.to_owned())
}

/// The first number of `line` that follows a `=` and is written with a decimal comma.
fn decimal_comma(line: &str) -> Option<(&str, &str)> {
    line.split('=').skip(1).find_map(|value| {
        let (whole, rest) = value.trim_start().split_once(',')?;
        let end = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
        let digits = whole.trim_start_matches(['-', '+']);
        let number = !digits.is_empty() && digits.bytes().all(|byte| byte.is_ascii_digit()) && end > 0;
        // `{ min = 3, 5 = "C" }` goes on with a key.
        let ends = rest[end..].trim_start().starts_with(['}', ',', '#']) || rest[end..].trim().is_empty();
        (number && ends).then(|| (whole, &rest[..end]))
    })
}
