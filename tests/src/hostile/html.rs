//! A clipboard: a web page's table, and perhaps its plain version.

use yokeline_core::table::{Choices, LARGEST_CELL_COUNT, cells, from_clipboard, read};

use super::text;

/// The markup, and after a line of three hashes the plain version of the same cells.
pub fn html(data: &[u8]) {
    let text = text(data);
    let (markup, plain) = match text.split_once("\n###\n") {
        Some((markup, plain)) => (markup, Some(plain)),
        None => (&*text, None),
    };
    let taken = from_clipboard(Some(markup), plain);
    assert_eq!(
        taken,
        from_clipboard(Some(markup), plain),
        "one clipboard, two texts"
    );
    let longest = markup.len() + plain.map_or(0, str::len);
    // Spans are filled with blanks: at most a tab for each of the cells that are read, beside what stood there.
    assert!(
        taken.len() <= 4 * longest + LARGEST_CELL_COUNT,
        "{} bytes of {longest}",
        taken.len()
    );
    let table = read(&taken, &Choices::default());
    assert!(table.rows * table.columns.len() <= LARGEST_CELL_COUNT);
    if let Some(plain) = plain {
        assert_eq!(from_clipboard(None, Some(plain)), plain);
    }
    // Markup that was copied as text is read as the table it is.
    if markup.starts_with('<')
        && !read(markup, &Choices::default()).columns.is_empty()
        && markup.contains("<table")
    {
        let alone = from_clipboard(Some(markup), None);
        assert_eq!(cells(markup), cells(&alone), "{alone}");
    }
}
