//! The body of a mail: blocks of meaning, written out twice, as plain text and as HTML.
//!
//! HTML that mail programs read: no scripts, nothing fetched from outside, one column, in a light and a dark dress.

use std::fmt::Write as _;

use crate::language::{Language, said};

/// One piece of a mail.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Block {
    /// What a section is about.
    Heading(String),
    /// A paragraph.
    Paragraph(String),
    /// What stands out, such as a drill or what a miss costs.
    Notice(String),
    /// Lines that stand below each other.
    Lines(Vec<String>),
    /// Items of a kind.
    List(Vec<String>),
    /// Names and what stands for them.
    Facts(Vec<(String, String)>),
    /// A link that is there if wanted.
    Link {
        /// What it leads to.
        label: String,
        /// Where.
        url: String,
    },
    /// The one thing that the mail asks for.
    Action {
        /// What happens, as a command: "Book the inspection".
        label: String,
        /// Where.
        url: String,
    },
    /// Small print at the end.
    Footer(String),
}

/// A colour of text on its ground, as `#rrggbb`, and where it is used.
struct Dress {
    text: &'static str,
    ground: &'static str,
    muted: &'static str,
    line: &'static str,
    button_text: &'static str,
    button: &'static str,
    link: &'static str,
}

const LIGHT: Dress = Dress {
    text: "#1c2126",
    ground: "#ffffff",
    muted: "#50585f",
    line: "#b9c0c7",
    button_text: "#ffffff",
    button: "#17508a",
    link: "#17508a",
};

const DARK: Dress = Dress {
    text: "#e8ebee",
    ground: "#14181c",
    muted: "#aab3bb",
    line: "#4a535b",
    button_text: "#0d1a27",
    button: "#9cc7f2",
    link: "#9cc7f2",
};

impl Dress {
    fn rules(&self) -> String {
        format!(
            "body{{color:{};background:{}}}a{{color:{}}}.action{{color:{};background:{}}}\
             .notice{{border-left:4px solid {}}}dl,footer{{border-top:1px solid {}}}dt,footer{{color:{}}}",
            self.text,
            self.ground,
            self.link,
            self.button_text,
            self.button,
            self.button,
            self.line,
            self.muted
        )
    }
}

const LAYOUT: &str = "body{margin:0;font:16px/1.5 system-ui,sans-serif}main{max-width:38em;margin:0 auto;padding:1.5em}\
    h1,h2{font-size:1.3em;line-height:1.3}dl{margin:1em 0;padding:.5em 0 0}dt{font-size:.9em}dd{margin:0 0 .5em}\
    .notice{padding-left:.8em}.action{display:inline-block;padding:.7em 1.2em;border-radius:.3em;text-decoration:none}\
    footer{margin-top:2em;padding-top:.5em;font-size:.9em}";

/// The blocks as plain text.
pub fn as_text(language: Language, blocks: &[Block]) -> String {
    let mut out = String::new();
    for block in blocks {
        if !out.is_empty() {
            out.push('\n');
        }
        match block {
            Block::Heading(text) => {
                // Not of "=", which quoted-printable would write threefold.
                let line = "-".repeat(text.chars().count().min(72));
                let _ = writeln!(out, "{text}\n{line}");
            }
            Block::Paragraph(text) | Block::Notice(text) => {
                let _ = writeln!(out, "{text}");
            }
            Block::Footer(text) => {
                // A signature delimiter would let mail programs hide what stands in law: a plain line instead.
                let _ = writeln!(out, "{text}");
            }
            Block::Lines(lines) => lines.iter().for_each(|line| {
                let _ = writeln!(out, "{line}");
            }),
            Block::List(items) => items.iter().for_each(|item| {
                let _ = writeln!(out, "- {item}");
            }),
            Block::Facts(facts) => facts.iter().for_each(|(name, value)| {
                let _ =
                    writeln!(out, "{}", language.say("mail-fact", &said!["name" => name, "value" => value]));
            }),
            Block::Link { label, url } | Block::Action { label, url } => {
                let label = language.say("mail-link", &said!["label" => label]);
                let _ = writeln!(out, "{label}\n{url}");
            }
        }
    }
    out
}

/// The blocks as an HTML document.
pub fn as_html(language: Language, title: &str, blocks: &[Block]) -> String {
    let mut out = String::new();
    let _ = write!(
        out,
        "<!doctype html>\n<html lang=\"{}\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"color-scheme\" content=\"light dark\">\n<title>{}</title>\n\
         <style>:root{{color-scheme:light dark}}{LAYOUT}{}@media (prefers-color-scheme:dark){{{}}}</style>\n\
         </head>\n<body>\n<main>\n",
        language,
        escaped(title),
        LIGHT.rules(),
        DARK.rules(),
    );
    let mut headings = 0;
    for block in blocks {
        headings += u32::from(matches!(block, Block::Heading(_)));
        html_block(&mut out, block, headings);
    }
    out.push_str("</main>\n</body>\n</html>\n");
    out
}

/// A block as HTML; `headings` is how many there were, with this one: the first is the mail's own.
fn html_block(out: &mut String, block: &Block, headings: u32) {
    let _ = match block {
        Block::Heading(text) if headings > 1 => writeln!(out, "<h2>{}</h2>", escaped(text)),
        Block::Heading(text) => writeln!(out, "<h1>{}</h1>", escaped(text)),
        Block::Paragraph(text) => writeln!(out, "<p>{}</p>", escaped(text)),
        Block::Notice(text) => writeln!(out, "<p class=\"notice\"><strong>{}</strong></p>", escaped(text)),
        Block::Footer(text) => writeln!(out, "<footer><p>{}</p></footer>", escaped(text)),
        Block::Lines(lines) => {
            let lines: Vec<String> = lines.iter().map(|line| escaped(line)).collect();
            writeln!(out, "<p>{}</p>", lines.join("<br>\n"))
        }
        Block::List(items) => {
            out.push_str("<ul>\n");
            for item in items {
                let _ = writeln!(out, "<li>{}</li>", escaped(item));
            }
            writeln!(out, "</ul>")
        }
        Block::Facts(facts) => {
            out.push_str("<dl>\n");
            for (name, value) in facts {
                let _ = writeln!(out, "<dt>{}</dt><dd>{}</dd>", escaped(name), escaped(value));
            }
            writeln!(out, "</dl>")
        }
        Block::Link { label, url } => {
            writeln!(out, "<p><a href=\"{}\">{}</a></p>", escaped(url), escaped(label))
        }
        Block::Action { label, url } => {
            writeln!(out, "<p><a class=\"action\" href=\"{}\">{}</a></p>", escaped(url), escaped(label))
        }
    };
}

/// Text as it may stand in HTML, in attributes too.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for sign in text.chars() {
        match sign {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            _ => out.push(sign),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance of `#rrggbb` (WCAG 2.2, "relative luminance").
    fn luminance(colour: &str) -> f64 {
        let part = |at: usize| {
            let value = f64::from(u8::from_str_radix(&colour[at..at + 2], 16).unwrap_or_default()) / 255.0;
            if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5)
    }

    fn contrast(one: &str, other: &str) -> f64 {
        let (a, b) = (luminance(one), luminance(other));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn text_stands_out_in_both_dresses() {
        // WCAG 2.2: white and black are 21:1; #767676 on white is just over 4.5:1.
        assert!((contrast("#ffffff", "#000000") - 21.0).abs() < 1e-9);
        assert!(contrast("#767676", "#ffffff") > 4.5 && contrast("#777777", "#ffffff") < 4.5);
        for dress in [LIGHT, DARK] {
            for (text, ground) in [
                (dress.text, dress.ground),
                (dress.muted, dress.ground),
                (dress.link, dress.ground),
                (dress.button_text, dress.button),
            ] {
                assert!(contrast(text, ground) >= 4.5, "{text} on {ground}");
            }
        }
    }

    #[test]
    fn what_people_write_is_text_and_nothing_else() {
        let html = as_html(Language::English, "A & B", &[Block::Paragraph("<script>\"'".into())]);
        assert!(html.contains("<title>A &amp; B</title>"));
        assert!(html.contains("<p>&lt;script&gt;&quot;&#39;</p>"));
    }
}
