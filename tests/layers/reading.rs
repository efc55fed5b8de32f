//! Reads Rust source as text, just far enough to see which paths it mentions, and where.

/// A path as it stands in the code, with what surrounds it.
#[derive(Debug)]
pub(super) struct Mention {
    pub(super) line: usize,
    pub(super) path: Vec<String>,
    /// Nothing stands before it that would make its first part a part of something else.
    pub(super) starts: bool,
    /// It follows a dot: a method or a field.
    pub(super) after_dot: bool,
    /// The first character after it that is no blank.
    pub(super) next: char,
}

/// All paths in code without comments and strings; a single name is a path of one part, a `use` tree is unfolded.
pub(super) fn mentions(code: &str) -> Vec<Mention> {
    let mut reader = Reader { text: code.chars().collect(), lines: Vec::new(), found: Vec::new() };
    let mut line = 1;
    for c in &reader.text {
        reader.lines.push(line);
        line += usize::from(*c == '\n');
    }
    let mut at = 0;
    let mut before = ' ';
    while let Some(&c) = reader.text.get(at) {
        if is_name_start(c) {
            at = reader.path(at, &[], before);
            before = 'a';
        } else {
            if !c.is_whitespace() {
                before = c;
            }
            at += 1;
            if c.is_ascii_digit() {
                while reader.text.get(at).is_some_and(|c| is_name(*c)) {
                    at += 1;
                }
            }
        }
    }
    reader.found
}

struct Reader {
    text: Vec<char>,
    /// The line of each character.
    lines: Vec<usize>,
    found: Vec<Mention>,
}

impl Reader {
    /// Reads the path that begins at `at`, below `prefix` in a `use` tree, and returns where it ends.
    fn path(&mut self, mut at: usize, prefix: &[String], before: char) -> usize {
        let line = self.lines[at];
        let mut path = prefix.to_vec();
        loop {
            let start = at;
            while self.text.get(at).is_some_and(|c| is_name(*c)) {
                at += 1;
            }
            path.push(self.text[start..at].iter().collect());
            let after = self.skip_blanks(at);
            if !(self.text.get(after) == Some(&':') && self.text.get(after + 1) == Some(&':')) {
                break;
            }
            let behind = self.skip_blanks(after + 2);
            match self.text.get(behind) {
                Some('{') => return self.tree(behind + 1, &path),
                Some(c) if is_name_start(*c) => at = behind,
                _ => break,
            }
        }
        let next = self.text.get(self.skip_blanks(at)).copied().unwrap_or(' ');
        let starts = before != ':' || !prefix.is_empty();
        self.found.push(Mention { line, path, starts, after_dot: before == '.', next });
        at
    }

    /// Reads the branches of a `use` tree from behind its opening brace, and returns where it ends.
    fn tree(&mut self, mut at: usize, prefix: &[String]) -> usize {
        while let Some(&c) = self.text.get(at)
            && c != '}'
        {
            if !is_name_start(c) {
                at += 1;
                continue;
            }
            at = self.path(at, prefix, ' ');
            // `a as b`: the new name is no path.
            while self.text.get(at).is_some_and(|c| *c != ',' && *c != '}') {
                at += 1;
            }
        }
        at + 1
    }

    fn skip_blanks(&self, mut at: usize) -> usize {
        while self.text.get(at).is_some_and(|c| c.is_whitespace()) {
            at += 1;
        }
        at
    }
}

fn is_name_start(c: char) -> bool {
    c.is_alphabetic() || c == '_'
}

fn is_name(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}

/// Blanks comments, strings and characters, and keeps every line where it was.
pub(super) fn without_comments_and_strings(source: &str) -> String {
    let text: Vec<char> = source.chars().collect();
    let mut code = String::with_capacity(source.len());
    let mut at = 0;
    while at < text.len() {
        let end = match (text[at], text.get(at + 1)) {
            ('/', Some('/')) => line_comment_end(&text, at),
            ('/', Some('*')) => block_comment_end(&text, at),
            ('"', _) => string_end(&text, at),
            ('r', Some('"' | '#')) if at == 0 || !is_name(text[at - 1]) || text[at - 1] == 'b' => {
                raw_string_end(&text, at)
            }
            ('\'', _) => character_end(&text, at),
            _ => at,
        };
        if end == at {
            code.push(text[at]);
            at += 1;
        } else {
            code.extend(text[at..end].iter().map(|c| if *c == '\n' { '\n' } else { ' ' }));
            at = end;
        }
    }
    code
}

fn line_comment_end(text: &[char], at: usize) -> usize {
    text[at..].iter().position(|c| *c == '\n').map_or(text.len(), |length| at + length)
}

fn block_comment_end(text: &[char], at: usize) -> usize {
    let mut open = 0;
    let mut end = at;
    while end + 1 < text.len() {
        match (text[end], text[end + 1]) {
            ('/', '*') => (open, end) = (open + 1, end + 2),
            ('*', '/') => (open, end) = (open - 1, end + 2),
            _ => end += 1,
        }
        if open == 0 {
            return end;
        }
    }
    text.len()
}

fn string_end(text: &[char], at: usize) -> usize {
    let mut end = at + 1;
    while end < text.len() && text[end] != '"' {
        end += if text[end] == '\\' { 2 } else { 1 };
    }
    (end + 1).min(text.len())
}

/// The end of `r"…"` or `r#"…"#`; of a raw name (`r#type`) it is the beginning: it is code.
fn raw_string_end(text: &[char], at: usize) -> usize {
    let hashes = text[at + 1..].iter().take_while(|c| **c == '#').count();
    let open = at + 1 + hashes;
    if text.get(open) != Some(&'"') {
        return at;
    }
    let closes = |end: &usize| {
        text[*end] == '"' && text[end + 1..].iter().take(hashes).filter(|c| **c == '#').count() == hashes
    };
    (open + 1..text.len()).find(closes).map_or(text.len(), |end| end + 1 + hashes)
}

/// The end of `'x'` or `'\n'`; of a lifetime it is the beginning: it is code.
fn character_end(text: &[char], at: usize) -> usize {
    if text.get(at + 1) == Some(&'\\') {
        let escaped = at + 3;
        return text
            .get(escaped..)
            .and_then(|rest| rest.iter().position(|c| *c == '\''))
            .map_or(text.len(), |length| escaped + length + 1);
    }
    if text.get(at + 2) == Some(&'\'') { at + 3 } else { at }
}

/// Blanks modules under `#[cfg(test)]`: what tests may do is their own affair.
pub(super) fn without_test_modules(code: &str) -> String {
    const MARK: &str = "#[cfg(test)]";
    let mut kept = String::with_capacity(code.len());
    let mut rest = code;
    while let Some(at) = rest.find(MARK) {
        let (before, from) = rest.split_at(at);
        kept.push_str(before);
        let end = item_end(from);
        kept.extend(from[..end].chars().map(|c| if c == '\n' { '\n' } else { ' ' }));
        rest = &from[end..];
    }
    kept.push_str(rest);
    kept
}

/// The end of the first item: its closing brace, or a semicolon before any brace.
fn item_end(code: &str) -> usize {
    let mut open = 0;
    for (at, c) in code.char_indices() {
        match c {
            ';' if open == 0 => return at + 1,
            '{' => open += 1,
            '}' if open == 1 => return at + 1,
            '}' => open -= 1,
            _ => {}
        }
    }
    code.len()
}
