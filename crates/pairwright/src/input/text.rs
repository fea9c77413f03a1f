//! Bytes to text.

use crate::diagnostic::{Code, Diagnostic, Source};

/// A file that is not text, with as much of it as can be shown.
#[derive(Debug)]
pub(super) struct Refused {
    pub(super) item: Diagnostic,
    pub(super) source: Source,
}

/// Takes `bytes` for UTF-8 text; `shown` is the file's name in messages.
pub(super) fn decode(bytes: Vec<u8>, shown: String) -> Result<Source, Box<Refused>> {
    match String::from_utf8(bytes) {
        Ok(text) => {
            let source = Source::new(shown, text);
            if source.text().as_bytes().contains(&0) { Err(nul(source)) } else { Ok(source) }
        }
        Err(error) => Err(not_utf8(error.as_bytes(), error.utf8_error().valid_up_to(), shown)),
    }
}

fn nul(source: Source) -> Box<Refused> {
    let at = source.text().find('\0').unwrap_or(0);
    let item = Diagnostic::wrong(Code::FileNul, "a NUL byte stands in this line; no text file has one")
        .at(source.place(at..at + 1), "")
        .help("the file is damaged or not a CSV file: save it again as `CSV UTF-8`");
    Box::new(Refused { item, source })
}

fn not_utf8(bytes: &[u8], valid: usize, shown: String) -> Box<Refused> {
    let wide = bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]);
    let bad = bytes.get(valid).copied().unwrap_or_default();
    // The part before the bad byte is unchanged, so its place stays the same, but for a mark.
    let mark = if bytes.starts_with("\u{feff}".as_bytes()) { 3 } else { 0 };
    let source = Source::new(shown, String::from_utf8_lossy(bytes).into_owned());
    let at = valid - mark;
    let place = source.place(at..at + '\u{fffd}'.len_utf8());
    let message = if wide {
        "this file is UTF-16 text, not UTF-8".to_owned()
    } else {
        format!("line {} holds the byte 0x{bad:02X}, which is not UTF-8 text", place.line)
    };
    let item = Diagnostic::wrong(Code::FileNotUtf8, message)
        .at(place, "")
        .help("save the file again as `CSV UTF-8`, or in an editor with the encoding UTF-8");
    Box::new(Refused { item, source })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refused(bytes: &[u8]) -> Diagnostic {
        decode(bytes.to_vec(), "p.csv".into()).expect_err("refused").item
    }

    #[test]
    fn the_line_of_a_bad_byte_is_named() {
        let item = refused(b"\xef\xbb\xbfid,note\nA,caf\xe9\nB,\xe9\n");
        assert_eq!(item.code, Code::FileNotUtf8);
        assert_eq!(item.place().map(|place| (place.line, place.column)), Some((2, 6)));
    }

    #[test]
    fn wide_text_and_nul_bytes_are_told_apart() {
        assert!(refused(b"\xff\xfei\0d\0").message.contains("UTF-16"));
        let item = refused(b"id\nA\0\n");
        assert_eq!((item.code, item.place().map(|place| place.line)), (Code::FileNul, Some(2)));
    }
}
