//! Paper for terminals: width and units, paragraphs, tables, headings. Fits any width; colour is the writer's to strip.
//! What is said on it is the other files' business.

use std::collections::BTreeSet;

use anstyle::Style;
use comfy_table::{Cell, ContentArrangement, Row, Table, presets};
use unicode_width::UnicodeWidthStr as _;

use crate::units::Units;

/// How to lay a report out.
#[derive(Debug, Clone, Copy)]
pub struct Layout {
    /// Columns of the terminal.
    pub columns: usize,
    /// Length unit.
    pub units: Units,
}

/// A line and its end.
pub(crate) fn push_line(out: &mut String, line: &str) {
    out.push_str(line);
    out.push('\n');
}

/// A style as ANSI codes; the writer strips them where the terminal does not want them.
pub(crate) fn styled(style: Style, text: &str) -> String {
    format!("{style}{text}{style:#}")
}

/// A table without frame lines that wraps inside `columns`; its titles are set in capitals when it is pushed.
pub(crate) fn table(header: &[&str], columns: usize) -> Table {
    let mut table = Table::new();
    table
        .load_style(presets::NOTHING)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(u16::try_from(columns).unwrap_or(u16::MAX))
        .set_header(header);
    table
}

/// A table as lines; where a word of it would be cut in two, each row as a paragraph of its own.
pub(crate) fn push_table(out: &mut String, table: &Table, columns: usize) {
    let cells = |row: &Row| -> Vec<String> { row.cell_iter().map(Cell::content).collect() };
    let header = table.header().map(cells).unwrap_or_default();
    let rows: Vec<_> = table.row_iter().map(cells).collect();
    let capitals: Vec<_> = header.iter().map(|title| title.to_uppercase()).collect();
    let mut set = table.clone();
    set.set_header(&capitals);
    let lines: Vec<_> = set.lines().collect();
    let whole: BTreeSet<&str> = lines
        .iter()
        .flat_map(|line| line.split_whitespace())
        .collect();
    let mut words = rows.iter().chain([&capitals]).flatten();
    if words.all(|cell| cell.split_whitespace().all(|word| whole.contains(word))) {
        for line in &lines {
            push_line(out, line.trim_end());
        }
        return;
    }
    for row in &rows {
        // What has no title, such as a place in a list, leads with the first that has one.
        let lead = 1 + header
            .iter()
            .position(|title| !title.is_empty())
            .unwrap_or_default();
        let (lead, rest) = row.split_at(lead.min(row.len()));
        wrapped(out, &lead.join(" "), columns, "  ");
        for (title, cell) in header[lead.len()..].iter().zip(rest) {
            if !cell.is_empty() && cell != "-" {
                let colon = if title.is_empty() { "" } else { ": " };
                let line = format!("{title}{colon}{cell}");
                let mut part = String::new();
                wrapped(&mut part, &line, columns.saturating_sub(2), "  ");
                for line in part.lines() {
                    push_line(out, &format!("  {line}"));
                }
            }
        }
    }
}

/// A paragraph wrapped to `columns`, every line after the first indented; a word longer than a line is cut.
pub(crate) fn wrapped(out: &mut String, text: &str, columns: usize, indent: &str) {
    let words: Vec<_> = text.split_whitespace().collect();
    let options = textwrap::Options::new(columns.max(1))
        .subsequent_indent(indent)
        .word_separator(textwrap::WordSeparator::AsciiSpace)
        .word_splitter(textwrap::WordSplitter::NoHyphenation)
        .wrap_algorithm(textwrap::WrapAlgorithm::FirstFit);
    for line in textwrap::wrap(&words.join(" "), options) {
        push_line(out, line.trim_end());
    }
}

/// A line whose own leading spaces and column gap stay.
pub(crate) fn wrapped_keep(out: &mut String, line: &str, columns: usize) {
    if line.width() <= columns {
        push_line(out, line);
    } else {
        wrapped(out, line, columns, "    ");
    }
}

/// A heading and its lines, or nothing.
pub(crate) fn notes<T: AsRef<str>>(out: &mut String, heading: &str, lines: &[T], layout: Layout) {
    if lines.is_empty() {
        return;
    }
    push_line(out, "");
    push_line(out, heading);
    for line in lines {
        wrapped(out, &format!("- {}", line.as_ref()), layout.columns, "  ");
    }
}
