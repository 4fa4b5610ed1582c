//! Rows of cells as aligned plain text.

/// A grid of cells: the first column to the left, the others to the right.
#[derive(Debug)]
pub(crate) struct Grid {
    rows: Vec<Vec<String>>,
}

impl Grid {
    pub(crate) fn new(header: &[&str]) -> Self {
        Self {
            rows: vec![header.iter().map(|cell| (*cell).to_owned()).collect()],
        }
    }

    pub(crate) fn row(&mut self, cells: Vec<String>) {
        self.rows.push(cells);
    }

    /// Whether there is nothing below the header.
    pub(crate) fn is_empty(&self) -> bool {
        self.rows.len() < 2
    }

    /// The text, each line with `indent` blanks before it and no blank at its end.
    pub(crate) fn write(&self, out: &mut String, indent: usize) {
        let columns = self.rows.iter().map(Vec::len).max().unwrap_or(0);
        let width = |column: usize| {
            self.rows
                .iter()
                .filter_map(|row| row.get(column))
                .map(|cell| cell.chars().count())
                .max()
                .unwrap_or(0)
        };
        let widths: Vec<usize> = (0..columns).map(width).collect();
        for row in &self.rows {
            let mut line = " ".repeat(indent);
            for (column, cell) in row.iter().enumerate() {
                let width = widths[column];
                if column == 0 {
                    line.push_str(&format!("{cell:<width$}"));
                } else {
                    line.push_str(&format!("  {cell:>width$}"));
                }
            }
            out.push_str(line.trim_end());
            out.push('\n');
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_stand_left_and_numbers_right() {
        let mut grid = Grid::new(&["", "n"]);
        grid.row(vec!["drop".into(), "7".into()]);
        grid.row(vec!["ice".into(), "12".into()]);
        let mut out = String::new();
        grid.write(&mut out, 1);
        assert_eq!(out, "        n\n drop   7\n ice   12\n");
    }
}
