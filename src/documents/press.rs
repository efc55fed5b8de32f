//! The press: sets a document by its template and writes it as PDF/A-2a and PDF/UA-1, tagged, with every font in it.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::sync::LazyLock;

use chrono::{DateTime, Datelike as _, Timelike as _, Utc};
use serde_json::Value;
use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::ecow::EcoVec;
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt as _, World};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};

use super::paper::{Paper, photo_file};

/// The fonts that come with the program, read when something is printed for the first time.
static OWN_FONTS: LazyLock<Vec<Font>> =
    LazyLock::new(|| typst_assets::fonts().flat_map(|data| Font::iter(Bytes::new(data))).collect());

/// What templates can call; the same for all.
static LIBRARY: LazyLock<LazyHash<Library>> = LazyLock::new(|| LazyHash::new(Library::default()));

/// How often something else may be printed before what was set is forgotten.
const REMEMBERED: usize = 8;

/// How a document is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Template {
    /// Pages with a head, sections and a foot.
    Pages,
    /// A label to stick on.
    Label,
}

impl Template {
    const fn text(self) -> &'static str {
        match self {
            Self::Pages => include_str!("templates/paper.typ"),
            Self::Label => include_str!("templates/label.typ"),
        }
    }

    const fn path(self) -> &'static str {
        match self {
            Self::Pages => "/paper.typ",
            Self::Label => "/label.typ",
        }
    }
}

/// A document that was printed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Printed {
    /// The PDF.
    pub bytes: Vec<u8>,
    /// Why it does not say that it is PDF/A-2a and PDF/UA-1: characters that no font has, or what else is in the way.
    /// None: it does.
    pub falls_short: Option<String>,
}

/// Why a document cannot be printed: a template or its values are broken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unprintable(String);

impl fmt::Display for Unprintable {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "a document cannot be printed: {}", self.0)
    }
}

impl std::error::Error for Unprintable {}

impl From<EcoVec<SourceDiagnostic>> for Unprintable {
    fn from(faults: EcoVec<SourceDiagnostic>) -> Self {
        Self(faults.iter().map(|fault| fault.message.as_str()).collect::<Vec<_>>().join("; "))
    }
}

/// What documents are printed with: the fonts that come with the program, and those that were added.
#[derive(Default)]
pub struct Press {
    added: Vec<Font>,
    book: LazyBook,
}

/// The book of all fonts of a press, put together when it is first needed.
type LazyBook = std::sync::OnceLock<LazyHash<FontBook>>;

impl fmt::Debug for Press {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "Press with {} fonts added", self.added.len())
    }
}

impl Press {
    /// A press with more fonts, each the content of a file with its name: they are used for characters that the own
    /// fonts do not have.
    ///
    /// Refused: a file that holds no font, by its name.
    pub fn with_fonts(files: Vec<(String, Vec<u8>)>) -> Result<Self, String> {
        let mut added = Vec::new();
        for (name, content) in files {
            let before = added.len();
            added.extend(Font::iter(Bytes::new(content)));
            if added.len() == before {
                return Err(name);
            }
        }
        Ok(Self { added, book: LazyBook::new() })
    }

    /// How many fonts were added to the own ones.
    pub fn added(&self) -> usize {
        self.added.len()
    }

    fn book(&self) -> &LazyHash<FontBook> {
        self.book.get_or_init(|| LazyHash::new(FontBook::from_fonts(OWN_FONTS.iter().chain(&self.added))))
    }

    /// The characters of a document that no font has, or that mean nothing to anybody else (private use).
    fn missing(&self, values: &Value) -> BTreeSet<char> {
        let mut signs = BTreeSet::new();
        gather(values, &mut signs);
        let fonts = || OWN_FONTS.iter().chain(&self.added);
        // The fonts are asked only for what is not ASCII, which all have.
        signs.retain(|sign| {
            !sign.is_ascii()
                && !sign.is_whitespace()
                && !invisible(*sign)
                && (private(*sign) || !fonts().any(|font| font.info().coverage.contains(u32::from(*sign))))
        });
        signs
    }

    /// Prints a document. One with characters that no font has is printed all the same, with a mark in place of each,
    /// and says no more that it is PDF/A and PDF/UA.
    pub fn print(&self, paper: &Paper, template: Template) -> Result<Printed, Unprintable> {
        let values = serde_json::to_value(paper).map_err(|e| Unprintable(e.to_string()))?;
        let missing = self.missing(&values);
        let desk = Desk::new(self, template, &values, &paper.pictures)?;
        let document = typst::compile::<PagedDocument>(&desk).output?;
        let claims = [PdfStandard::A_2a, PdfStandard::Ua_1];
        let strict = if missing.is_empty() {
            let strict = typst_pdf::pdf(&document, &options(paper, &claims)?);
            strict.map_err(|faults| Unprintable::from(faults).0)
        } else {
            let named: Vec<String> =
                missing.iter().map(|sign| format!("U+{:04X}", u32::from(*sign))).collect();
            Err(format!("no font has {}", named.join(", ")))
        };
        let printed = match strict {
            Ok(bytes) => Printed { bytes, falls_short: None },
            Err(why) => {
                Printed { bytes: typst_pdf::pdf(&document, &options(paper, &[])?)?, falls_short: Some(why) }
            }
        };
        typst::comemo::evict(REMEMBERED);
        Ok(printed)
    }
}

fn options(paper: &Paper, claims: &[PdfStandard]) -> Result<PdfOptions, Unprintable> {
    let standards = PdfStandards::new(claims).map_err(|fault| Unprintable(format!("{fault:?}")))?;
    Ok(PdfOptions {
        ident: Smart::Custom(format!("{} {} {}", paper.author, paper.title, paper.language)),
        creator: Smart::Custom(Some("Lustrum".into())),
        timestamp: stamp(paper.made_at).map(Timestamp::new_utc),
        standards,
        ..PdfOptions::default()
    })
}

fn stamp(at: DateTime<Utc>) -> Option<Datetime> {
    let small = |number: u32| u8::try_from(number).ok();
    Datetime::from_ymd_hms(
        at.year(),
        small(at.month())?,
        small(at.day())?,
        small(at.hour())?,
        small(at.minute())?,
        small(at.second())?,
    )
}

/// Every character of every text within.
fn gather(value: &Value, signs: &mut BTreeSet<char>) {
    match value {
        Value::String(text) => signs.extend(text.chars()),
        Value::Array(items) => items.iter().for_each(|item| gather(item, signs)),
        Value::Object(members) => members.values().for_each(|member| gather(member, signs)),
        _ => {}
    }
}

/// Characters that steer how others are written, and are not drawn themselves.
fn invisible(sign: char) -> bool {
    matches!(u32::from(sign), 0xAD | 0x200B..=0x200F | 0x202A..=0x202E | 0x2060..=0x2069 | 0xFE00..=0xFE0E | 0xFEFF)
}

fn private(sign: char) -> bool {
    matches!(u32::from(sign), 0xE000..=0xF8FF | 0xF_0000..=0xF_FFFD | 0x10_0000..=0x10_FFFD)
}

/// What the compiler of templates sees of the world: one template, the values and pictures of one document, fonts. No
/// clock, no folder, no network.
struct Desk<'a> {
    press: &'a Press,
    source: Source,
    files: BTreeMap<String, Bytes>,
}

fn file_id(path: &str) -> Result<FileId, Unprintable> {
    let path = VirtualPath::new(path).map_err(|e| Unprintable(format!("{path}: {e:?}")))?;
    Ok(RootedPath::new(VirtualRoot::Project, path).intern())
}

impl<'a> Desk<'a> {
    fn new(
        press: &'a Press,
        template: Template,
        values: &Value,
        pictures: &[Vec<u8>],
    ) -> Result<Self, Unprintable> {
        let pictures = pictures.iter().enumerate();
        let mut files: BTreeMap<String, Bytes> =
            pictures.map(|(place, bytes)| (photo_file(place), Bytes::new(bytes.clone()))).collect();
        files.insert("/values.json".into(), Bytes::from_string(values.to_string()));
        let source = Source::new(file_id(template.path())?, template.text().to_owned());
        Ok(Self { press, source, files })
    }
}

impl World for Desk<'_> {
    fn library(&self) -> &LazyHash<Library> {
        &LIBRARY
    }

    fn book(&self) -> &LazyHash<FontBook> {
        self.press.book()
    }

    fn main(&self) -> FileId {
        self.source.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.source.id() { Ok(self.source.clone()) } else { Err(FileError::AccessDenied) }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        let path = id.get().vpath().get_with_slash();
        self.files.get(path).cloned().ok_or(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        OWN_FONTS.get(index).or_else(|| self.press.added.get(index - OWN_FONTS.len())).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}
