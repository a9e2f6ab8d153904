//! What stands below the heading of a block: the steps, and how one knows that it is done.

use super::Block;
use super::blocks::Builder;
use super::content::{DONE_WHEN, one_line, opens_done_when};

impl Builder<'_> {
    /// The steps of a block and its `Done when:`. That line often follows the last step without
    /// an empty line, which makes it part of the list item for CommonMark; it is taken out.
    pub(super) fn steps(&self, block: &Block, numbered: bool) -> (Vec<String>, Option<String>) {
        let mut done = None;
        let mut steps = Vec::new();
        for item in within(&self.body.items, block, |i| i.at.start) {
            let mut text = String::new();
            for paragraph in item.text.split("\n\n") {
                let cut = line_offsets(paragraph).find(|at| opens_done_when(&paragraph[*at..]));
                if let (Some(cut), None) = (cut, &done) {
                    done = Some(after_done_when(&paragraph[cut..]));
                    text.push_str(&paragraph[..cut]);
                } else {
                    text.push_str(paragraph);
                }
                text.push(' ');
            }
            let text = one_line(&text);
            if (item.numbered || !numbered) && !text.is_empty() {
                steps.push(text);
            }
        }
        let paragraph = || {
            within(&self.body.paragraphs, block, |p| p.at.start)
                .iter()
                .find(|p| opens_done_when(&p.value))
                .map(|p| after_done_when(&p.value))
        };
        (steps, done.or_else(paragraph).filter(|d| !d.is_empty()))
    }

    /// The Markdown below the heading; a `Done when:` stuck to a list becomes its own paragraph.
    pub(super) fn markdown(&self, block: &Block) -> String {
        let start = block.heading.end;
        let mut text = self.source.text[start..block.at.end].to_owned();
        let stuck = within(&self.body.items, block, |i| i.at.start);
        for at in stuck.iter().rev().filter_map(|i| i.done_when) {
            let line = self.source.line_start(at).max(start);
            if self.source.text[line..at]
                .chars()
                .all(|c| matches!(c, ' ' | '*' | '_'))
            {
                let (from, to) = (line - start, at - start);
                let kept: String = text[from..to].trim_start().to_owned();
                text.replace_range(from..to, &format!("\n{kept}"));
            }
        }
        text.replace("\r\n", "\n").trim().to_owned()
    }
}

/// Those of the finds, ordered by place, that begin inside a block.
fn within<'a, T>(finds: &'a [T], block: &Block, start: impl Fn(&T) -> usize) -> &'a [T] {
    let from = finds.partition_point(|f| start(f) < block.at.start);
    let to = finds.partition_point(|f| start(f) < block.at.end);
    &finds[from..to.max(from)]
}

fn line_offsets(text: &str) -> impl Iterator<Item = usize> {
    std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1))
}

fn after_done_when(text: &str) -> String {
    one_line(text.trim_start().get(DONE_WHEN.len()..).unwrap_or_default())
}
