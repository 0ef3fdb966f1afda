//! A link as a QR code (ISO/IEC 18004), as a picture of its own.

use std::fmt::Write;

use qrcodegen::{QrCode, QrCodeEcc};

/// More modules on a side than this and a code printed as large as a hand is too fine for a phone.
const MOST_MODULES: i32 = 117;

/// The quiet zone that the standard asks for, in modules.
const MARGIN: i32 = 4;

/// The side of a code that a phone reads at arm's length: half a millimetre and a little for each module. Common practice,
/// no source.
const MILLIMETRES_A_MODULE: f64 = 0.6;

/// A code with how large it should be printed.
#[derive(Clone, Debug, PartialEq)]
pub struct Code {
    /// The picture, an SVG of its own.
    pub svg: String,
    /// Side of the print, in centimetres, at the least.
    pub side_cm: u32,
}

/// The code of a text; `None` when it is too long for one that a phone can read.
pub fn code(text: &str) -> Option<Code> {
    // The correction grows by itself as far as the size allows.
    let code = QrCode::encode_text(text, QrCodeEcc::Low).ok()?;
    let modules = code.size();
    if modules > MOST_MODULES {
        return None;
    }
    let side = modules + 2 * MARGIN;
    let mut path = String::new();
    for y in 0..modules {
        for x in 0..modules {
            if code.get_module(x, y) {
                let _ = write!(path, "M{} {}h1v1h-1z", x + MARGIN, y + MARGIN);
            }
        }
    }
    let svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {side} {side}\" width=\"{0}\" height=\"{0}\" \
         shape-rendering=\"crispEdges\"><rect width=\"{side}\" height=\"{side}\" fill=\"#fff\"/><path d=\"{path}\"/></svg>",
        4 * side
    );
    Some(Code {
        svg,
        side_cm: (f64::from(side) * MILLIMETRES_A_MODULE / 10.0).ceil() as u32,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_link_is_a_small_code_and_a_long_one_none() {
        let short = code("https://example.org/wire/#h1.eNqrVkosSlWyUlAqTi1R0lFQyk0tLk5MTwUASOYHKg")
            .unwrap();
        assert!(short.side_cm <= 3, "{} cm", short.side_cm);
        assert!(short.svg.starts_with("<svg ") && short.svg.ends_with("</svg>"));
        assert_eq!(code(&"x".repeat(3_000)), None);
        assert_eq!(code(&"x".repeat(2_000)), None);
    }
}
