//! Tables at the terminal: columns as wide as they need, the last words column wrapped.

use std::io::{self, Write};

use advice::Table;
use comfy_table::{CellAlignment, ContentArrangement, presets};

use super::{Look, WIDTH, wrapped};

/// Prints a table under its caption.
pub(crate) fn print(out: &mut dyn Write, table: &Table, look: Look) -> io::Result<()> {
    wrapped(out, "", &look.strong(&table.caption))?;
    let mut grid = comfy_table::Table::new();
    grid.load_style(presets::NOTHING).set_content_arrangement(ContentArrangement::Dynamic);
    grid.set_width(u16::try_from(WIDTH).unwrap_or(80));
    grid.set_header(table.columns.iter().map(|column| column.label.as_str()));
    for row in &table.rows {
        grid.add_row(row.iter().map(|cell| cell.text.as_str()));
    }
    for (column, spec) in grid.column_iter_mut().zip(&table.columns) {
        column.set_padding((0, 2));
        if spec.numeric {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    for line in grid.lines() {
        writeln!(out, "{}", line.trim_end())?;
    }
    Ok(())
}

/// One record a line, with its table's name in front.
pub(crate) fn print_plain(out: &mut dyn Write, table: &Table) -> io::Result<()> {
    let keys: Vec<&str> = table.columns.iter().map(|column| column.key).collect();
    writeln!(out, "columns\t{}\t{}", table.key, keys.join("\t"))?;
    for row in &table.rows {
        let cells: Vec<String> = row
            .iter()
            .map(|cell| cell.value.map_or_else(|| super::cell(&cell.text), |value| value.to_string()))
            .collect();
        writeln!(out, "row\t{}\t{}", table.key, cells.join("\t"))?;
    }
    Ok(())
}
