//! A place in the glyphs of one text, and the errors that name it.
//!
//! Start at [`Scan`]; the rules of the grammar that move it are in `parse.rs`, `mantissa.rs` and `power.rs`.

use super::glyphs::{Glyph, HARD_SPACE};
use super::{DecimalMark, FigureError, Remarks};

/// Messages show at most this many characters of what was typed.
const LONGEST_SHOWN: usize = 40;

/// A place in the glyphs of one text.
pub(super) struct Scan<'a> {
    pub glyphs: &'a [Glyph],
    pub at: usize,
    pub mark: DecimalMark,
    pub remarks: Remarks,
}

impl Scan<'_> {
    /// The error for a place where digits were expected and are not.
    pub(super) fn no_digits(&self) -> FigureError {
        let has_digits = self.glyphs.iter().any(|glyph| glyph.means.is_ascii_digit());
        match self.peek() {
            Some(first) if has_digits && !first.is_alphabetic() => self.stray(),
            _ => FigureError::NotANumber(self.shown()),
        }
    }

    /// The error for the character at this place.
    pub(super) fn stray(&self) -> FigureError {
        match self.peek_seen() {
            Some(character) => FigureError::StrayCharacter {
                number: excerpt(self.seen(0, self.at).trim().chars()),
                character,
            },
            None => FigureError::NotANumber(self.shown()),
        }
    }

    /// The whole text for a message.
    pub(super) fn shown(&self) -> String {
        excerpt(self.glyphs.iter().map(|glyph| glyph.seen))
    }

    /// The characters as typed between two places.
    pub(super) fn seen(&self, from: usize, to: usize) -> String {
        self.glyphs
            .get(from..to)
            .unwrap_or_default()
            .iter()
            .map(|glyph| glyph.seen)
            .collect()
    }

    /// What the glyph at this place means.
    pub(super) fn peek(&self) -> Option<char> {
        self.peek_at(0)
    }

    pub(super) fn peek_at(&self, ahead: usize) -> Option<char> {
        self.glyphs.get(self.at + ahead).map(|glyph| glyph.means)
    }

    /// The character at this place as typed.
    pub(super) fn peek_seen(&self) -> Option<char> {
        self.glyphs.get(self.at).map(|glyph| glyph.seen)
    }

    pub(super) fn skip_spaces(&mut self) {
        while self.peek().is_some_and(is_space) {
            self.at += 1;
        }
    }
}

pub(super) fn is_space(character: char) -> bool {
    character == ' ' || character == HARD_SPACE
}

/// The characters for a message: cut when there are many, and none that would turn the sentence about or cannot be seen.
pub(super) fn excerpt(characters: impl Iterator<Item = char>) -> String {
    let mut shown = String::new();
    for (count, character) in characters.enumerate() {
        if count == LONGEST_SHOWN {
            shown.push('…');
            break;
        }
        shown.push(if is_unseen(character) {
            char::REPLACEMENT_CHARACTER
        } else {
            character
        });
    }
    shown
}

/// Controls, and the marks that give the text after them a direction of its own.
fn is_unseen(character: char) -> bool {
    character.is_control()
        || matches!(character, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}
