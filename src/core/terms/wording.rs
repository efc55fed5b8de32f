//! The texts for people that terms bring along, in the language that is asked for.

use serde_json::Value;

use super::Terms;

/// What terms say in words of their own; empty where they say nothing.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Wording {
    /// What is not covered.
    pub excludes: Vec<String>,
    /// How the coating is looked after.
    pub care: Vec<String>,
    /// What is done where cover takes effect.
    pub remedy: Option<String>,
    /// How cover is claimed.
    pub how_to_claim: Option<String>,
    /// What the law says.
    pub law: Option<String>,
}

impl Terms {
    /// The texts in this language (as `de`), else in English, else in whichever language stands first; or those that
    /// are for all.
    ///
    /// ```
    /// use lustrum::core::terms::Terms;
    /// let document = br#"{"terms": "lustrum-terms/1", "code": "plain", "edition": 1, "title": "Plain",
    ///     "cover": [{"surface": "paint", "lasts": {"years": 2}}],
    ///     "wording": {"en": {"care": ["Wash by hand."]}, "de-AT": {"care": ["Von Hand waschen."]}}}"#;
    /// let terms = Terms::parse(document).unwrap();
    /// assert_eq!(terms.words_in("de").care, ["Von Hand waschen."]);
    /// assert_eq!(terms.words_in("pt").care, ["Wash by hand."]);
    /// ```
    pub fn words_in(&self, language: &str) -> Wording {
        let Some(Value::Object(wording)) = &self.wording else { return Wording::default() };
        // Texts by language are objects; texts for all are texts and lists.
        let by_language = !wording.is_empty() && wording.values().all(Value::is_object);
        if !by_language {
            return read(wording);
        }
        let speaks = |tag: &str, language: &str| tag.split('-').next() == Some(language);
        let find = |language: &str| wording.iter().find(|(tag, _)| speaks(tag, language));
        let found = find(language).or_else(|| find("en")).or_else(|| wording.iter().next());
        found.and_then(|(_, texts)| texts.as_object()).map(read).unwrap_or_default()
    }
}

fn read(texts: &serde_json::Map<String, Value>) -> Wording {
    let text = |name: &str| texts.get(name).and_then(Value::as_str).map(str::to_owned);
    let list = |name: &str| {
        let items = texts.get(name).and_then(Value::as_array).into_iter().flatten();
        items.filter_map(Value::as_str).map(str::to_owned).collect()
    };
    Wording {
        excludes: list("excludes"),
        care: list("care"),
        remedy: text("remedy"),
        how_to_claim: text("how_to_claim"),
        law: text("law"),
    }
}
