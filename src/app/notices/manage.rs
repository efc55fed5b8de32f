//! What a shop does with notices: sees what is ahead, reads one as its owner will, stops one, sends one again.

use serde::Serialize;

use super::new::NewNotice;
use super::outbox::keep_secret;
use super::{NoticeView, foreseen, writing};
use crate::app::page::{Page, Wanted};
use crate::app::{App, Error, Who, new_id};
use crate::core::error::Error as Rule;
use crate::core::ids::NoticeId;
use crate::core::words::{NoticeKind, NoticeState};
use crate::db::notices::{self, ListedNotice, NoticeRow};
use crate::db::{self, Conn, Shop, customers};
use crate::mail::Letter;

/// The notices that are planned, the soonest first: those that are put down, and those that will be within
/// [`foreseen::AHEAD`] days if nothing else happens until then.
pub(super) fn ahead(app: &App, who: &Who, wanted: &Wanted<NoticeId>) -> Result<Page<NoticeView>, Error> {
    let rows = app.db.read::<_, Error>(|c| {
        Ok(notices::list(c, &who.shop, &[NoticeState::Planned], None, None, i64::MAX)?)
    })?;
    let mut all: Vec<NoticeView> = rows.into_iter().map(NoticeView::from).collect();
    all.extend(foreseen::views(app, who)?);
    all.sort_by_key(|view| (view.planned_for, view.id));
    // What went out since the page before is no longer there: then from the beginning, rather than to leave some out.
    let from = wanted.after.and_then(|after| all.iter().position(|view| view.id == after));
    let rest = all.into_iter().skip(from.map_or(0, |at| at + 1));
    let most = usize::try_from(wanted.rows()).unwrap_or(usize::MAX);
    Ok(wanted.page(rest.take(most).collect(), |view| view.id))
}

/// A notice as its owner reads it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct NoticePreview {
    /// The notice.
    pub id: NoticeId,
    /// What kind of notice.
    pub kind: NoticeKind,
    /// Whether a mail that is kept carries it; else it is written as it would be now, or on the day that it is foreseen for.
    pub written: bool,
    /// Subject of the mail.
    pub subject: String,
    /// The mail as plain text.
    pub text: String,
    /// The mail as HTML.
    pub html: String,
    /// Why it would not go out as things stand; null: it would.
    pub because: Option<String>,
}

impl NoticePreview {
    /// As it would be written now.
    fn as_now(id: NoticeId, kind: NoticeKind, letter: Letter) -> Self {
        Self {
            id,
            kind,
            written: false,
            subject: letter.subject,
            text: without_tokens(&letter.text),
            html: without_tokens(&letter.html),
            because: None,
        }
    }
}

fn found(conn: &mut Conn, shop: &Shop, id: NoticeId) -> Result<Option<ListedNotice>, Error> {
    Ok(notices::list(conn, shop, &[], Some(id), None, 1)?.pop())
}

fn foreseen_of(conn: &mut Conn, app: &App, shop: &Shop, id: NoticeId) -> Result<NewNotice, Error> {
    let all = foreseen::of_shop(conn, app, shop)?;
    all.into_iter().find(|ahead| ahead.foreseen_id() == id).ok_or_else(|| Rule::NotFound.into())
}

/// Shows a notice, put down or foreseen, as text and HTML: as the mail that carries it, or as it would be written alone.
pub fn preview(app: &App, who: &Who, id: NoticeId) -> Result<NoticePreview, Error> {
    app.db.read(|c| {
        let shop = &who.shop;
        let Some(ListedNotice { notice, .. }) = found(c, shop, id)? else {
            let ahead = foreseen_of(c, app, shop, id)?;
            let letter = writing::letter(
                c,
                app,
                shop,
                &ahead.customer,
                &[ahead.about.kind()],
                vec![ahead.section],
                None,
            )?;
            let letter = letter.ok_or_else(|| db::Error::Other("a notice that says nothing".into()))?;
            return Ok(NoticePreview::as_now(id, ahead.about.kind(), letter));
        };
        if notice.kind == NoticeKind::Link {
            return Err(Rule::state(
                "notice_private",
                "what stands in a link that was asked for is its owner's alone",
            )
            .into());
        }
        if let Some(message) = notice.message {
            return kept(c, shop, &notice, message);
        }
        let customer = customers::find(c, shop, notice.customer)?;
        let at = notice.planned_for.max(app.now());
        let none = |because| NoticePreview {
            id,
            kind: notice.kind,
            written: false,
            subject: notice.subject.clone(),
            text: String::new(),
            html: String::new(),
            because: Some(because),
        };
        let section = match writing::section(c, app, shop, &customer, &notice, at)? {
            Ok(ready) => ready,
            Err((_, because)) => return Ok(none(because)),
        };
        match writing::letter(c, app, shop, &customer, &[notice.kind], vec![section.section], None)? {
            Some(letter) => Ok(NoticePreview::as_now(id, notice.kind, letter)),
            None => Ok(none("there is nothing to say".into())),
        }
    })
}

/// What stands in a link opens the owner's page, or ends their mails: it is shown to nobody but the owner.
fn without_tokens(text: &str) -> String {
    let mut shown = text.to_owned();
    for before in ["/my/", "/unsubscribe/"] {
        let mut parts = shown.split(before);
        let mut kept = parts.next().unwrap_or_default().to_owned();
        for part in parts {
            let rest =
                part.trim_start_matches(|sign: char| sign.is_ascii_alphanumeric() || "-_".contains(sign));
            kept.push_str(before);
            kept.push('…');
            kept.push_str(rest);
        }
        shown = kept;
    }
    shown
}

/// A notice as the mail that is kept says it, whatever else stands in it.
fn kept(
    conn: &mut Conn,
    shop: &Shop,
    notice: &NoticeRow,
    message: crate::core::ids::MessageId,
) -> Result<NoticePreview, Error> {
    let bytes = db::outbox::bytes(conn, shop, message)?;
    let parsed = mail_parser::MessageParser::default().parse(&bytes);
    let mail = parsed.ok_or_else(|| db::Error::Other(format!("the message {message} is no mail")))?;
    Ok(NoticePreview {
        id: notice.id,
        kind: notice.kind,
        written: true,
        subject: mail.subject().unwrap_or_default().to_owned(),
        text: without_tokens(&mail.body_text(0).unwrap_or_default()),
        html: without_tokens(&mail.body_html(0).unwrap_or_default()),
        because: None,
    })
}

fn view_of(conn: &mut Conn, shop: &Shop, id: NoticeId) -> Result<NoticeView, Error> {
    found(conn, shop, id)?.map(NoticeView::from).ok_or_else(|| Rule::NotFound.into())
}

/// One notice, put down or foreseen.
pub fn find(app: &App, who: &Who, id: NoticeId) -> Result<NoticeView, Error> {
    app.db.read(|c| match found(c, &who.shop, id)? {
        Some(listed) => Ok(listed.into()),
        None => {
            let ahead = foreseen_of(c, app, &who.shop, id)?;
            foreseen::view(c, app, &who.shop, ahead)
        }
    })
}

/// Stops a notice that is planned or foreseen: it does not go out, and is not planned again.
pub fn cancel(app: &App, who: &Who, id: NoticeId) -> Result<NoticeView, Error> {
    let (app_in, who, now) = (app.clone(), who.clone(), app.now());
    app.db.write(move |tx| {
        let shop = &who.shop;
        let because = "stopped by the shop";
        if let Some(ListedNotice { notice, .. }) = found(tx, shop, id)? {
            if notice.state == NoticeState::Cancelled {
                return view_of(tx, shop, id);
            }
            if !notices::settle(tx, shop, id, NoticeState::Cancelled, None, Some(because))? {
                let detail =
                    format!("the notice is {}: only one that is planned can be stopped", notice.state);
                return Err(Rule::state("notice_not_planned", detail).into());
            }
            keep_secret(tx, shop, &notice)?;
            return view_of(tx, shop, id);
        }
        let ahead = foreseen_of(tx, &app_in, shop, id)?;
        let row = NoticeRow {
            state: NoticeState::Cancelled,
            because: Some(because.into()),
            ..ahead.row(tx, &app_in, shop, now)?
        };
        if !notices::add(tx, shop, &row)? {
            return Err(Rule::Stale.into());
        }
        view_of(tx, shop, row.id)
    })
}

/// Plans a notice that has ended, with a mail or without one, once more; it goes with the next tick if it still holds.
/// One that was stopped before its day goes on that day.
pub fn send_again(app: &App, who: &Who, id: NoticeId) -> Result<NoticeView, Error> {
    let (who, now) = (who.clone(), app.now());
    app.db.write(move |tx| {
        let shop = &who.shop;
        let ListedNotice { notice, .. } = found(tx, shop, id)?.ok_or(Rule::NotFound)?;
        if matches!(notice.state, NoticeState::Planned | NoticeState::Queued | NoticeState::Sending) {
            let detail = format!("the notice is {}: it goes out by itself", notice.state);
            return Err(Rule::state("notice_on_its_way", detail).into());
        }
        let first = notice.key.split("/again/").next().unwrap_or(&notice.key).to_owned();
        let row = NoticeRow {
            id: new_id(),
            // Each sending is one of its own, told from the others by itself.
            key: format!("{first}/again/{}", notice.id),
            state: NoticeState::Planned,
            planned_for: notice.planned_for.max(now),
            message: None,
            because: Some(format!("sent again by the shop; before it was {}", notice.state)),
            created_at: now,
            version: 1,
            ..notice
        };
        if !notices::add(tx, shop, &row)? {
            let detail = "it has been planned once more since: send that one again";
            return Err(Rule::state("notice_on_its_way", detail).into());
        }
        view_of(tx, shop, row.id)
    })
}
