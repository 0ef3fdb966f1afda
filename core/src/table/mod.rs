//! From pasted text to cells, headings, and notes on what was understood and what was not.
