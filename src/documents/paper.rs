//! What a document says, in the order in which it is read.

use chrono::{DateTime, Utc};
use serde::Serialize;

use super::ShopOnPaper;
use crate::core::words::PaperSize;
use crate::language::Language;

/// A document, ready to be printed.
#[derive(Debug, Clone, Serialize)]
pub struct Paper {
    /// The language that it is written in.
    pub language: Language,
    /// The size of its pages.
    #[serde(rename = "paper", serialize_with = "sheet")]
    pub size: PaperSize,
    /// What it is called where files are listed.
    pub title: String,
    /// In a sentence, what it is.
    pub description: String,
    /// Who answers for it: the shop.
    pub author: String,
    /// Where the shop is.
    pub address: Vec<String>,
    /// What kind of document it is.
    pub kind: String,
    /// Its number.
    pub number: String,
    /// What stands around the number of a page and of all pages.
    pub pages: [String; 3],
    /// What stands at the foot of each page.
    pub foot: String,
    /// Its heading.
    pub heading: String,
    /// The line below it.
    pub lead: Option<String>,
    /// What comes first, beside the code.
    pub front: Vec<Block>,
    /// A code to be read by a camera.
    pub code: Option<Code>,
    /// All else.
    pub blocks: Vec<Block>,
    /// The date that the file bears.
    #[serde(skip)]
    pub made_at: DateTime<Utc>,
    /// Photos, JPEG or PNG, in the order in which blocks name them.
    #[serde(skip)]
    pub pictures: Vec<Vec<u8>>,
}

/// The name of a size as the template knows it.
fn sheet<S: serde::Serializer>(size: &PaperSize, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(match size {
        PaperSize::A4 => "a4",
        PaperSize::Letter => "us-letter",
    })
}

/// What all documents of a shop have in common.
#[derive(Debug, Clone)]
pub struct Setting {
    /// The language.
    pub language: Language,
    /// The size of its pages.
    pub size: PaperSize,
    /// The shop.
    pub shop: ShopOnPaper,
    /// The date that the file bears.
    pub made_at: DateTime<Utc>,
}

impl Paper {
    /// A document of this kind and number, on which nothing else stands yet.
    pub(super) fn new(setting: &Setting, kind: String, number: String) -> Self {
        let language = setting.language;
        let marks = ("\u{1}", "\u{2}");
        let pages =
            language.say("paper-page", &crate::language::said!["page" => marks.0, "pages" => marks.1]);
        let (before, rest) = pages.split_once(marks.0).unwrap_or_default();
        let (between, after) = rest.split_once(marks.1).unwrap_or_default();
        Self {
            language,
            size: setting.size,
            title: format!("{kind} {number}"),
            description: String::new(),
            author: setting.shop.name.clone(),
            address: setting.shop.lines(),
            pages: [before, between, after].map(str::to_owned),
            foot: setting.shop.name.clone(),
            heading: kind.clone(),
            kind,
            number,
            lead: None,
            front: Vec::new(),
            code: None,
            blocks: Vec::new(),
            made_at: setting.made_at,
            pictures: Vec::new(),
        }
    }

    /// With one more block.
    pub(super) fn add(&mut self, block: Block) {
        self.blocks.push(block);
    }

    /// A heading of a section.
    pub(super) fn section(&mut self, text: impl Into<String>) {
        self.add(Block::Heading { level: 2, text: text.into() });
    }

    /// A heading below that of a section.
    pub(super) fn part(&mut self, text: impl Into<String>) {
        self.add(Block::Heading { level: 3, text: text.into() });
    }

    /// A paragraph.
    pub(super) fn text(&mut self, text: impl Into<String>) {
        self.add(Block::Text { text: text.into() });
    }

    /// A paragraph that stands back.
    pub(super) fn small(&mut self, text: impl Into<String>) {
        self.add(Block::Small { text: text.into() });
    }

    /// Points, if there are any.
    pub(super) fn list(&mut self, items: Vec<String>) {
        if !items.is_empty() {
            self.add(Block::List { items });
        }
    }

    /// A table in small letters; without a row, that nothing is on record.
    pub(super) fn table(&mut self, columns: Vec<Column>, rows: Vec<Vec<String>>) {
        if rows.is_empty() {
            return self.text(self.language.word("history-happened-none"));
        }
        self.add(Block::Table { small: true, columns, rows });
    }

    /// Labels with what they name, if there are any.
    pub(super) fn facts(&mut self, pairs: Vec<(String, String)>) {
        if !pairs.is_empty() {
            self.add(Block::Facts { pairs });
        }
    }
}

/// A code to be read by a camera.
#[derive(Debug, Clone, Serialize)]
pub struct Code {
    /// The picture.
    pub svg: String,
    /// What it says, for those who do not see it.
    pub alt: String,
    /// What stands below it.
    pub caption: String,
}

/// A part of a document.
#[derive(Debug, Clone, Serialize)]
#[serde(tag = "block", rename_all = "snake_case")]
pub enum Block {
    /// A heading; sections are of level 2.
    Heading {
        /// From 2 on.
        level: u8,
        /// What it says.
        text: String,
    },
    /// A paragraph.
    Text {
        /// What it says.
        text: String,
    },
    /// A paragraph that stands back.
    Small {
        /// What it says.
        text: String,
    },
    /// A paragraph that stands out.
    Strong {
        /// What it says.
        text: String,
    },
    /// Points.
    List {
        /// Each.
        items: Vec<String>,
    },
    /// Points in order.
    Steps {
        /// Each.
        items: Vec<String>,
    },
    /// Labels with what they name.
    Facts {
        /// Each.
        pairs: Vec<(String, String)>,
    },
    /// Labels with what they name, of which addresses can be followed; nothing that people type stands here.
    Links {
        /// Each.
        pairs: Vec<(String, String)>,
    },
    /// Dates or times that are looked for first, each with its label.
    Dates {
        /// Each.
        pairs: Vec<(String, String)>,
    },
    /// A table.
    Table {
        /// Whether it is set in small letters.
        small: bool,
        /// Its columns.
        columns: Vec<Column>,
        /// Its rows, each with a cell for every column.
        rows: Vec<Vec<String>>,
    },
    /// Something that must not be overlooked.
    Notice {
        /// Whether something is wrong.
        alarm: bool,
        /// What it is about.
        heading: Option<String>,
        /// What it says.
        text: String,
    },
    /// Points that are told in English, whatever the language of the document.
    English {
        /// Each.
        items: Vec<String>,
    },
    /// Lines to be written on by hand.
    Lines {
        /// What goes on each.
        labels: Vec<String>,
    },
    /// A drawing.
    Picture {
        /// SVG.
        svg: String,
        /// What it shows, for those who do not see it.
        alt: String,
        /// What stands below it.
        caption: Option<String>,
        /// Its width in per cent of the text's.
        width: u8,
    },
    /// A signature that was drawn by hand, in a field of always the same size.
    Signature {
        /// SVG.
        svg: String,
        /// Whose it is, for those who do not see it.
        alt: String,
    },
    /// Photos, three in a row.
    Photos {
        /// Each.
        photos: Vec<PhotoOnPaper>,
    },
}

/// A photo in a document.
#[derive(Debug, Clone, Serialize)]
pub struct PhotoOnPaper {
    /// Its place among the pictures of the document, as [`photo_file`] names it.
    pub file: String,
    /// What it shows, for those who do not see it.
    pub alt: String,
    /// What stands below it.
    pub caption: String,
}

/// How a block names the picture at this place.
pub fn photo_file(place: usize) -> String {
    format!("/pictures/{place}")
}

/// A column of a table.
#[derive(Debug, Clone, Serialize)]
pub struct Column {
    /// What stands at its head.
    pub title: String,
    /// Its share of the width; none: as wide as what stands in it.
    pub width: Option<u8>,
    /// Where its cells stand.
    pub align: Align,
    /// Whether its cells are told in English, whatever the language of the document.
    pub english: bool,
}

impl Column {
    /// A column as wide as what stands in it.
    pub fn fitting(title: impl Into<String>) -> Self {
        Self { title: title.into(), width: None, align: Align::Start, english: false }
    }

    /// A column that takes this share of the width.
    pub fn wide(title: impl Into<String>, share: u8) -> Self {
        Self { title: title.into(), width: Some(share), align: Align::Start, english: false }
    }

    /// A column that takes this share of the width, of what is told in English.
    pub fn english(title: impl Into<String>, share: u8) -> Self {
        Self { english: true, ..Self::wide(title, share) }
    }

    /// A column of figures.
    pub fn figures(title: impl Into<String>) -> Self {
        Self { title: title.into(), width: None, align: Align::End, english: false }
    }
}

/// Where the cells of a column stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Align {
    /// At its beginning.
    Start,
    /// At its end.
    End,
}
