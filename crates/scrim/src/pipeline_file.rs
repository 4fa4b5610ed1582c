//! A pipeline file as its author wrote it, in which single keys change and nothing else does: comments, order, blank lines and
//! inline tables stay to the byte.

use toml_edit::{Decor, DocumentMut, Item, Table, TableLike, TomlError, Value};

/// Lines of a note that the program wrote begin so; a new note takes the place of an older one.
const NOTE: &str = "# scrim tune: ";

/// The text of a pipeline file, open for changes.
#[derive(Debug, Clone)]
pub struct PipelineFile {
    document: DocumentMut,
    /// What the parser does not keep: a mark at the beginning that says how letters are stored, and lines that end in two bytes.
    has_mark: bool,
    ends_in_two: bool,
}

/// The mark that some editors put at a file's beginning.
const MARK: char = '\u{feff}';

/// A key that holds no section where one was expected.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("key `{key}` is no section, so nothing can be put into it; make it one, or take it away")]
pub struct NoSection {
    /// The key.
    pub key: String,
}

impl PipelineFile {
    /// Opens a text.
    ///
    /// # Errors
    /// When it is no TOML.
    pub fn of_text(text: &str) -> Result<Self, TomlError> {
        Ok(Self {
            document: text.trim_start_matches(MARK).parse()?,
            has_mark: text.starts_with(MARK),
            ends_in_two: text.contains("\r\n"),
        })
    }

    /// The text with its changes.
    pub fn text(&self) -> String {
        let mut text = self.document.to_string();
        if self.ends_in_two {
            text = text.replace("\r\n", "\n").replace('\n', "\r\n");
        }
        if self.has_mark {
            text.insert(0, MARK);
        }
        text
    }

    /// Changes the pipeline's name, if the file gives one; else the file's own name is it.
    pub fn set_name(&mut self, name: &str) {
        if let Some(item) = self.document.get_mut("name") {
            replace(item, name.into());
        }
    }

    /// Sets `key` of a section, which is made at the file's end where it is missing.
    ///
    /// # Errors
    /// [`NoSection`].
    pub fn set(&mut self, section: &str, key: &str, number: f32) -> Result<(), NoSection> {
        put(self.section(&[section], &[])?, key, number);
        Ok(())
    }

    /// Sets all numbers of a section (by the names of its groups), under a note that says what they are.
    ///
    /// # Errors
    /// [`NoSection`].
    pub fn set_section(
        &mut self,
        path: &[&str],
        numbers: impl IntoIterator<Item = (&'static str, f32)>,
        note: &[String],
    ) -> Result<(), NoSection> {
        let section = self.section(path, note)?;
        for (key, number) in numbers {
            put(section, key, number);
        }
        Ok(())
    }

    /// The section at `path`; where it is missing, a new one at the file's end.
    fn section(&mut self, path: &[&str], note: &[String]) -> Result<&mut dyn TableLike, NoSection> {
        if self.has(path) {
            self.renew_note(path, note);
        } else {
            self.make(path, note)?;
        }
        self.find(path)
    }

    fn has(&self, path: &[&str]) -> bool {
        let mut table: &dyn TableLike = self.document.as_table();
        for key in path {
            match table.get(key).and_then(Item::as_table_like) {
                Some(inner) => table = inner,
                None => return false,
            }
        }
        true
    }

    fn find(&mut self, path: &[&str]) -> Result<&mut dyn TableLike, NoSection> {
        let mut table: &mut dyn TableLike = self.document.as_table_mut();
        for key in path {
            let inner = table.get_mut(key).and_then(Item::as_table_like_mut);
            table = inner.ok_or_else(|| NoSection { key: (*key).into() })?;
        }
        Ok(table)
    }

    fn make(&mut self, path: &[&str], note: &[String]) -> Result<(), NoSection> {
        let Some((last, above)) = path.split_last() else {
            return Ok(());
        };
        for depth in 1..=above.len() {
            if !self.has(&above[..depth]) {
                let mut section = Table::new();
                section.set_implicit(true);
                let outer = self.find(&above[..depth - 1])?;
                if outer.contains_key(above[depth - 1]) {
                    let key = above[depth - 1].into();
                    return Err(NoSection { key });
                }
                outer.insert(above[depth - 1], Item::Table(section));
            }
        }
        if self.find(above)?.contains_key(last) {
            return Err(NoSection { key: (*last).into() });
        }
        if self.is_inline(above) {
            // No comment has room inside an inline table: it goes above the line.
            let outer = self.find(above)?;
            outer.insert(
                last,
                Item::Value(Value::InlineTable(toml_edit::InlineTable::new())),
            );
            self.renew_note(above, note);
            return Ok(());
        }
        // What stands at the file's end belongs to the section before, so that it stays above the new one.
        let trailing = self.document.trailing().as_str().unwrap_or_default().to_owned();
        self.document.set_trailing("");
        let gap = if self.document.to_string().is_empty() && trailing.is_empty() {
            ""
        } else if trailing.is_empty() || trailing.ends_with('\n') {
            "\n"
        } else {
            "\n\n"
        };
        let end = self.last_position() + 1;
        let mut section = Table::new();
        section.set_position(Some(end));
        *section.decor_mut() = Decor::new(format!("{trailing}{gap}{}", lines_of(note)), "");
        self.find(above)?.insert(last, Item::Table(section));
        Ok(())
    }

    /// Whether the section at `path`, or one around it, is written in one line.
    fn is_inline(&self, path: &[&str]) -> bool {
        let mut item = self.document.as_item();
        for key in path {
            match item.get(key) {
                Some(inner) => item = inner,
                None => return false,
            }
            if item.is_inline_table() {
                return true;
            }
        }
        false
    }

    /// Puts `note` in place of an older one above the section at `path`, or above the line that it is in; an empty one takes the
    /// older one away.
    fn renew_note(&mut self, path: &[&str], note: &[String]) {
        let mut item = self.document.as_item_mut();
        for (depth, key) in path.iter().enumerate() {
            let Some(table) = item.as_table_like_mut() else {
                return;
            };
            let is_here = match table.get(key) {
                Some(Item::Table(inner)) => !inner.is_dotted() && depth + 1 == path.len(),
                Some(_) => true,
                None => return,
            };
            if is_here {
                if let Some(Item::Table(inner)) = table.get_mut(key) {
                    renew(inner.decor_mut(), note);
                } else if let Some(mut key) = table.key_mut(key) {
                    renew(key.leaf_decor_mut(), note);
                }
                return;
            }
            match table.get_mut(key) {
                Some(inner) => item = inner,
                None => return,
            }
        }
    }

    fn last_position(&self) -> isize {
        fn last(table: &Table) -> isize {
            let inner = table.iter().map(|(_, item)| match item {
                Item::Table(table) => last(table),
                Item::ArrayOfTables(tables) => tables.iter().map(last).max().unwrap_or(0),
                _ => 0,
            });
            inner.max().unwrap_or(0).max(table.position().unwrap_or(0))
        }
        last(self.document.as_table())
    }
}

fn lines_of(note: &[String]) -> String {
    // A path in a note may hold a line break, which would end the comment.
    note.iter()
        .flat_map(|line| line.lines())
        .map(|line| format!("{NOTE}{line}\n"))
        .collect()
}

fn renew(decor: &mut Decor, note: &[String]) {
    let old = decor
        .prefix()
        .and_then(|prefix| prefix.as_str())
        .unwrap_or_default();
    let kept: String = old
        .split_inclusive('\n')
        .filter(|line| !line.starts_with(NOTE))
        .collect();
    decor.set_prefix(format!("{kept}{}", lines_of(note)));
}

fn put(section: &mut dyn TableLike, key: &str, number: f32) {
    // By its shortest text, for the f64 next to an f32 reads 0.10000000149011612.
    let Ok(exact) = format!("{number:?}").parse::<f64>() else {
        return;
    };
    match section.get_mut(key) {
        Some(item) => {
            let own = item
                .as_float()
                .or_else(|| item.as_integer().map(|whole| whole as f64));
            if own.is_none_or(|own| own as f32 != number) {
                replace(item, exact.into());
            }
        }
        None => {
            section.insert(key, toml_edit::value(exact));
        }
    }
}

/// Puts a value in place of another, the blanks and the comment beside it kept.
fn replace(item: &mut Item, mut value: Value) {
    if let Some(own) = item.as_value() {
        *value.decor_mut() = own.decor().clone();
    }
    *item = Item::Value(value);
}

#[cfg(test)]
mod tests {
    use super::*;

    const WORDY: &str = "# Ours.\n\nname   =  'ours' # not theirs\n\n[tracks]   # first\ngrid_hz = 25.0\n\n\
        # The reads come before the screens.\n[reads.coverage]\nmin_confidence=0.4\n\n[screens] \n\
        #end_apart_m = 2.5\nmin_confidence =    0.35   # as agreed in May\n  flip_within_s = 2.0\n\n# The last word.\n";

    fn changed(text: &str, change: impl FnOnce(&mut PipelineFile) -> Result<(), NoSection>) -> String {
        let mut file = PipelineFile::of_text(text).unwrap();
        change(&mut file).unwrap();
        file.text()
    }

    #[test]
    fn a_file_that_nothing_changes_in_comes_back_byte_for_byte() {
        assert_eq!(changed(WORDY, |_| Ok(())), WORDY);
        let same = changed(WORDY, |file| file.set("screens", "min_confidence", 0.35));
        assert_eq!(same, WORDY);
        // As editors elsewhere write it: lines that end in two bytes, and a mark at the beginning.
        let elsewhere = format!("{MARK}{}", WORDY.replace('\n', "\r\n"));
        assert_eq!(changed(&elsewhere, |_| Ok(())), elsewhere);
        let other = changed(&elsewhere, |file| file.set("screens", "min_confidence", 0.4));
        assert_eq!(other, elsewhere.replace("0.35 ", "0.4 "));
    }

    #[test]
    fn an_empty_note_takes_an_older_one_away() {
        let file = "# scrim tune: old\n# Mine.\n[screens.correction]\nbias = 0.1\n";
        let other = changed(file, |file| {
            file.set_section(&["screens", "correction"], [("bias", 0.2)], &[])
        });
        assert_eq!(other, "# Mine.\n[screens.correction]\nbias = 0.2\n");
    }

    #[test]
    fn one_key_changes_and_the_blanks_and_comments_around_it_stay() {
        let text = changed(WORDY, |file| {
            file.set_name("tuned");
            file.set("screens", "min_confidence", 0.4)
        });
        let expected = WORDY.replace("'ours'", "\"tuned\"").replace("0.35 ", "0.4 ");
        assert_eq!(text, expected);
    }

    #[test]
    fn a_new_key_stands_in_its_section_and_a_new_section_at_the_files_end_below_its_note() {
        let text = changed(WORDY, |file| {
            file.set("screens", "min_handoff_confidence", 0.1)?;
            file.set_section(
                &["screens", "correction"],
                [("bias", 0.1)],
                &["fitted\nto much".into()],
            )?;
            file.set_section(&["motion", "zones"], [("jogging_mps", 1.5)], &[])
        });
        let expected = WORDY.replace(
            "  flip_within_s = 2.0\n",
            "  flip_within_s = 2.0\nmin_handoff_confidence = 0.1\n",
        ) + "\n# scrim tune: fitted\n# scrim tune: to much\n[screens.correction]\nbias = 0.1\n\n\
               [motion.zones]\njogging_mps = 1.5\n";
        assert_eq!(text, expected);
    }

    #[test]
    fn a_note_takes_the_place_of_the_older_one_and_of_nothing_else() {
        let path = ["screens", "correction"];
        let with = |note: &str, bias: f32, text: &str| {
            changed(text, |file| {
                file.set_section(&path, [("bias", bias)], &[note.into()])
            })
        };
        let once = with(
            "one",
            0.1,
            "# Mine.\n[screens.correction]\nbias = 0.2 # by hand\n",
        );
        assert_eq!(
            once,
            "# Mine.\n# scrim tune: one\n[screens.correction]\nbias = 0.1 # by hand\n"
        );
        assert_eq!(
            with("two", 0.3, &once),
            once.replace("tune: one", "tune: two").replace("0.1", "0.3")
        );
    }

    #[test]
    fn inline_and_dotted_sections_stay_so() {
        let inline = changed(
            "# A\nscreens = { min_confidence = 0.3 } # B\n[tracks]\n",
            |file| {
                file.set("screens", "min_confidence", 0.4)?;
                file.set_section(&["screens", "correction"], [("bias", 0.1)], &["note".into()])
            },
        );
        assert_eq!(
            inline,
            "# A\n# scrim tune: note\nscreens = { min_confidence = 0.4 , correction = { bias = 0.1 } } # B\n[tracks]\n"
        );
        let dotted = changed("screens.min_confidence = 0.3 # B\nname = 'x'\n", |file| {
            file.set("screens", "min_confidence", 0.4)?;
            file.set("screens", "min_handoff_confidence", 0.1)
        });
        assert_eq!(
            dotted,
            "screens.min_confidence = 0.4 # B\nscreens.min_handoff_confidence = 0.1\nname = 'x'\n"
        );
    }

    #[test]
    fn an_empty_file_gets_the_section_alone() {
        let text = changed("", |file| {
            file.set_section(&["screens", "correction"], [("bias", 1.0)], &[])
        });
        assert_eq!(text, "[screens.correction]\nbias = 1.0\n");
    }

    #[test]
    fn what_is_no_section_is_refused_by_name() {
        let mut file = PipelineFile::of_text("screens = 3\n").unwrap();
        let text = file
            .set("screens", "min_confidence", 0.4)
            .unwrap_err()
            .to_string();
        assert!(text.contains("`screens` is no section"), "{text}");
    }
}
