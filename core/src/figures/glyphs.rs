//! What single characters stand for in a number, whatever script or keyboard they came from.
//!
//! Start at [`read`], which turns a text into [`Glyph`]s: each keeps the character that was seen, for messages,
//! beside the plain one that it stands for, for the grammar.

/// Any space that is wider or narrower than the plain one, or that does not break: nobody types one between two
/// separate readings, so it may also group the digits of a fraction.
pub(super) const HARD_SPACE: char = '\u{A0}';
/// A mark that can only be a decimal mark (the Arabic one).
pub(super) const DECIMAL_ONLY: char = '٫';
/// A mark that can only part thousands (the Arabic one).
pub(super) const THOUSANDS_ONLY: char = '٬';

/// One character of a text and what it stands for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Glyph {
    pub seen: char,
    pub means: char,
}

/// What a character stands for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Meaning {
    pub character: char,
    /// It is a digit, or a mark inside numbers, of another script or width than ASCII.
    pub odd: bool,
}

/// The glyphs of `text` without spaces at its ends, and whether any digit or mark was not an ASCII one.
pub(super) fn read(text: &str) -> (Vec<Glyph>, bool) {
    let mut glyphs = Vec::with_capacity(text.len());
    let mut odd = false;
    for seen in text.trim().chars() {
        if let Some(meaning) = meaning(seen) {
            odd |= meaning.odd;
            glyphs.push(Glyph {
                seen,
                means: meaning.character,
            });
        }
    }
    let is_space = |glyph: &Glyph| {
        glyph.means == ' ' || glyph.means == HARD_SPACE || glyph.means.is_whitespace()
    };
    let end = glyphs
        .iter()
        .rposition(|glyph| !is_space(glyph))
        .map_or(0, |last| last + 1);
    glyphs.truncate(end);
    let start = glyphs
        .iter()
        .position(|glyph| !is_space(glyph))
        .unwrap_or(0);
    glyphs.drain(..start);
    (glyphs, odd)
}

/// The plain character that `seen` stands for; `None` for one that shows nothing (marks of writing direction, of zero
/// width).
pub(super) fn meaning(seen: char) -> Option<Meaning> {
    let same = |character| {
        Some(Meaning {
            character,
            odd: false,
        })
    };
    let odd = |character| {
        Some(Meaning {
            character,
            odd: true,
        })
    };
    if seen.is_ascii() {
        return same(seen);
    }
    match seen {
        // Minus, and the dashes and hyphens that stand for it after a copy. The soft hyphen is among them: losing a
        // sign is worse than refusing a cell.
        '\u{2212}'
        | '\u{2010}'..='\u{2015}'
        | '\u{FE58}'
        | '\u{FE63}'
        | '\u{FF0D}'
        | '\u{2796}'
        | '\u{02D7}'
        | '\u{00AD}'
        | '\u{2043}' => same('-'),
        '\u{FE62}' | '\u{2795}' => same('+'),
        '\u{2019}' | '\u{2018}' | '\u{02BC}' | '\u{00B4}' | '\u{FF07}' => same('\''),
        '\u{00A0}' | '\u{2000}'..='\u{200A}' | '\u{202F}' | '\u{205F}' | '\u{3000}' => {
            same(HARD_SPACE)
        }
        '\u{200B}'..='\u{200F}'
        | '\u{202A}'..='\u{202E}'
        | '\u{2060}'..='\u{2069}'
        | '\u{061C}'
        | '\u{FEFF}'
        | '\u{FE0E}'
        | '\u{FE0F}' => None,
        '✕' | '✖' | '⨯' | '⨉' | 'х' | 'Х' => same('×'),
        '⋅' | '∙' | '•' | '∗' => same('·'),
        '٫' => odd(DECIMAL_ONLY),
        '٬' => odd(THOUSANDS_ONLY),
        '،' => odd(','),
        '٪' => odd('%'),
        '．' => odd('.'),
        '，' => odd(','),
        '\u{FF01}'..='\u{FF5E}' => {
            let plain = char::from_u32(u32::from(seen) - 0xFEE0).unwrap_or(seen);
            Some(Meaning {
                character: plain,
                odd: plain.is_ascii_digit(),
            })
        }
        _ => match digit(seen) {
            Some(plain) => odd(plain),
            None => same(seen),
        },
    }
}

/// The digit or sign that a raised character shows: `⁻` is `-`, `³` is `3`.
pub(super) fn raised(seen: char) -> Option<char> {
    Some(match seen {
        '⁰' => '0',
        '¹' => '1',
        '²' => '2',
        '³' => '3',
        '⁴' => '4',
        '⁵' => '5',
        '⁶' => '6',
        '⁷' => '7',
        '⁸' => '8',
        '⁹' => '9',
        '⁺' => '+',
        '⁻' | '¯' => '-',
        _ => return None,
    })
}

/// The ASCII digit for a decimal digit of another script.
fn digit(seen: char) -> Option<char> {
    // The zeros of the runs of ten decimal digits, from the Unicode character database (general category Nd).
    const ZEROS: [u32; 24] = [
        0x0660, 0x06F0, 0x07C0, 0x0966, 0x09E6, 0x0A66, 0x0AE6, 0x0B66, 0x0BE6, 0x0C66, 0x0CE6,
        0x0D66, 0x0DE6, 0x0E50, 0x0ED0, 0x0F20, 0x1040, 0x17E0, 0x1810, 0x1946, 0x19D0, 0x1A80,
        0xA620, 0xFF10,
    ];
    // Five alphabets of mathematical digits follow each other without a gap.
    const MATHEMATICAL: std::ops::RangeInclusive<u32> = 0x1D7CE..=0x1D7FF;
    let code = u32::from(seen);
    let value = if MATHEMATICAL.contains(&code) {
        (code - MATHEMATICAL.start()) % 10
    } else {
        let zero = ZEROS
            .iter()
            .find(|&&zero| (zero..zero + 10).contains(&code))?;
        code - zero
    };
    char::from_digit(value, 10)
}
