//! Notices: what owners are to be told, from planning until it has gone out.

use std::collections::BTreeSet;

use chrono::{DateTime, Utc};
use diesel::dsl::exists;
use diesel::prelude::*;

use super::backend::both;
use super::error::Error;
use super::schema::{customers, messages, notices, shop_vehicles, vehicles, warranties};
use super::scope::{Installation, Shop};
use super::types::{At, Json, Uid, Word};
use super::{Conn, Tx};
use crate::core::ids::{CustomerId, MessageId, NoticeId, VehicleId, WarrantyId};
use crate::core::notices::About;
use crate::core::words::{NoticeKind, NoticeState};

/// A notice as the row says.
#[derive(Debug, Clone, PartialEq)]
pub struct NoticeRow {
    /// The notice.
    pub id: NoticeId,
    /// Its business key: planned once, whoever plans and however often.
    pub key: String,
    /// What kind of notice.
    pub kind: NoticeKind,
    /// Where it stands.
    pub state: NoticeState,
    /// Whom it goes to.
    pub customer: CustomerId,
    /// Which vehicle it is about.
    pub vehicle: VehicleId,
    /// Which warranty.
    pub warranty: Option<WarrantyId>,
    /// What it is about.
    pub about: About,
    /// Subject of the mail, as it would be alone.
    pub subject: String,
    /// From when on it may go out.
    pub planned_for: DateTime<Utc>,
    /// The message that carries it.
    pub message: Option<MessageId>,
    /// Why it stands where it stands, where that needs a word.
    pub because: Option<String>,
    /// When it was planned.
    pub created_at: DateTime<Utc>,
    /// Counts up with each change.
    pub version: i64,
}

#[derive(Queryable, Selectable, Insertable)]
#[diesel(table_name = notices, treat_none_as_default_value = false)]
struct Row {
    id: Uid,
    shop_id: Uid,
    business_key: String,
    kind: Word<NoticeKind>,
    state: Word<NoticeState>,
    customer_id: Uid,
    vehicle_id: Uid,
    warranty_id: Option<Uid>,
    about: Json<About>,
    subject: String,
    planned_for: At,
    message_id: Option<Uid>,
    because: Option<String>,
    created_at: At,
    version: i64,
}

impl Row {
    fn of(scope: &Shop, row: &NoticeRow) -> Self {
        Self {
            id: Uid::of(row.id),
            shop_id: Uid::of(scope.id()),
            business_key: row.key.clone(),
            kind: Word(row.kind),
            state: Word(row.state),
            customer_id: Uid::of(row.customer),
            vehicle_id: Uid::of(row.vehicle),
            warranty_id: row.warranty.map(Uid::of),
            about: Json(row.about.clone()),
            subject: row.subject.clone(),
            planned_for: At(row.planned_for),
            message_id: row.message.map(Uid::of),
            because: row.because.clone(),
            created_at: At(row.created_at),
            version: row.version,
        }
    }
}

impl From<Row> for NoticeRow {
    fn from(row: Row) -> Self {
        Self {
            id: row.id.id(),
            key: row.business_key,
            kind: row.kind.0,
            state: row.state.0,
            customer: row.customer_id.id(),
            vehicle: row.vehicle_id.id(),
            warranty: row.warranty_id.map(Uid::id),
            about: row.about.0,
            subject: row.subject,
            planned_for: row.planned_for.0,
            message: row.message_id.map(Uid::id),
            because: row.because,
            created_at: row.created_at.0,
            version: row.version,
        }
    }
}

/// Adds a notice; false when it was planned before.
pub fn add(tx: &mut Tx<'_>, scope: &Shop, row: &NoticeRow) -> Result<bool, Error> {
    let row = Row::of(scope, row);
    let added = both!(tx, c => diesel::insert_into(notices::table)
        .values(row)
        .on_conflict_do_nothing()
        .execute(c))?;
    Ok(added == 1)
}

/// The keys of every notice that was ever planned about a warranty.
pub fn keys_of(conn: &mut Conn, scope: &Shop, warranty: WarrantyId) -> Result<BTreeSet<String>, Error> {
    let keys = notices::table
        .filter(notices::shop_id.eq(Uid::of(scope.id())))
        .filter(notices::warranty_id.eq(Some(Uid::of(warranty))))
        .select(notices::business_key)
        .load::<String>(conn.multi())?;
    Ok(keys.into_iter().collect())
}

/// Whether a notice with this key was ever put down.
pub fn is_put_down(conn: &mut Conn, scope: &Shop, key: &str) -> Result<bool, Error> {
    let found =
        notices::table.filter(notices::shop_id.eq(Uid::of(scope.id()))).filter(notices::business_key.eq(key));
    Ok(diesel::select(exists(found)).get_result(conn.multi())?)
}

/// Owners, each with their shop, for whom something that was planned may go out by `at`.
pub fn waiting(
    conn: &mut Conn,
    _: &Installation,
    at: DateTime<Utc>,
) -> Result<Vec<(Shop, CustomerId)>, Error> {
    let rows = notices::table
        .filter(notices::state.eq(Word(NoticeState::Planned)))
        .filter(notices::planned_for.le(At(at)))
        .select((notices::shop_id, notices::customer_id))
        .distinct()
        .order((notices::shop_id, notices::customer_id))
        .load::<(Uid, Uid)>(conn.multi())?;
    Ok(rows.into_iter().map(|(shop, customer)| (Shop::seen(shop.id()), customer.id())).collect())
}

/// What is planned for an owner and may go out by `at`, in the order in which it was planned.
pub fn planned_for(
    conn: &mut Conn,
    scope: &Shop,
    customer: CustomerId,
    at: DateTime<Utc>,
) -> Result<Vec<NoticeRow>, Error> {
    let rows = notices::table
        .filter(notices::shop_id.eq(Uid::of(scope.id())))
        .filter(notices::customer_id.eq(Uid::of(customer)))
        .filter(notices::state.eq(Word(NoticeState::Planned)))
        .filter(notices::planned_for.le(At(at)))
        .order(notices::id)
        .select(Row::as_select())
        .load::<Row>(conn.multi())?;
    Ok(rows.into_iter().map(NoticeRow::from).collect())
}

/// Whether a mail of one of these kinds was written to an owner from one instant until before another.
pub fn written(
    conn: &mut Conn,
    scope: &Shop,
    customer: CustomerId,
    kinds: &[NoticeKind],
    from: DateTime<Utc>,
    until: DateTime<Utc>,
) -> Result<bool, Error> {
    let kinds: Vec<Word<NoticeKind>> = kinds.iter().copied().map(Word).collect();
    let found = notices::table
        .inner_join(messages::table.on(notices::message_id.eq(messages::id.nullable())))
        .filter(notices::shop_id.eq(Uid::of(scope.id())))
        .filter(notices::customer_id.eq(Uid::of(customer)))
        .filter(notices::kind.eq_any(kinds))
        .filter(messages::created_at.ge(At(from)))
        .filter(messages::created_at.lt(At(until)));
    Ok(diesel::select(exists(found)).get_result(conn.multi())?)
}

/// A mail about a warranty.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Written {
    /// Its message.
    pub message: MessageId,
    /// When it was written.
    pub at: DateTime<Utc>,
    /// When the warranty was entered.
    pub warranty_entered_at: DateTime<Utc>,
}

/// The mails of these kinds about warranties that were written to an owner since an instant; one that is about several
/// is there for each.
pub fn mails_since(
    conn: &mut Conn,
    scope: &Shop,
    customer: CustomerId,
    kinds: &[NoticeKind],
    since: DateTime<Utc>,
) -> Result<Vec<Written>, Error> {
    let kinds: Vec<Word<NoticeKind>> = kinds.iter().copied().map(Word).collect();
    let rows: Vec<(Uid, At, At)> = notices::table
        .inner_join(messages::table.on(notices::message_id.eq(messages::id.nullable())))
        .inner_join(warranties::table.on(notices::warranty_id.eq(warranties::id.nullable())))
        .filter(notices::shop_id.eq(Uid::of(scope.id())))
        .filter(notices::customer_id.eq(Uid::of(customer)))
        .filter(notices::kind.eq_any(kinds))
        .filter(messages::created_at.ge(At(since)))
        .select((messages::id, messages::created_at, warranties::entered_at))
        .load(conn.multi())?;
    let written = |(message, at, entered): (Uid, At, At)| Written {
        message: message.id(),
        at: at.0,
        warranty_entered_at: entered.0,
    };
    Ok(rows.into_iter().map(written).collect())
}

/// Every notice of every shop that is planned or written and has not gone out, in the order in which it was planned.
pub fn every_planned(conn: &mut Conn, _: &Installation) -> Result<Vec<(Shop, NoticeRow)>, Error> {
    let rows = notices::table
        .filter(notices::state.eq_any([Word(NoticeState::Planned), Word(NoticeState::Queued)]))
        .order(notices::id)
        .select(Row::as_select())
        .load::<Row>(conn.multi())?;
    Ok(rows.into_iter().map(|row| (Shop::seen(row.shop_id.id()), row.into())).collect())
}

/// Moves what is planned to a later moment. False when it is no longer planned.
pub fn postpone(
    tx: &mut Tx<'_>,
    scope: &Shop,
    id: NoticeId,
    planned_for: DateTime<Utc>,
) -> Result<bool, Error> {
    let changed = diesel::update(
        notices::table
            .find(Uid::of(id))
            .filter(notices::shop_id.eq(Uid::of(scope.id())))
            .filter(notices::state.eq(Word(NoticeState::Planned))),
    )
    .set((notices::planned_for.eq(At(planned_for)), notices::version.eq(notices::version + 1)))
    .execute(tx.multi())?;
    Ok(changed == 1)
}

/// What becomes of a notice that was planned: a message carries it, or it ends in `state` for a reason. False when
/// it is no longer planned.
pub fn settle(
    tx: &mut Tx<'_>,
    scope: &Shop,
    id: NoticeId,
    state: NoticeState,
    message: Option<MessageId>,
    because: Option<&str>,
) -> Result<bool, Error> {
    let changed = diesel::update(
        notices::table
            .find(Uid::of(id))
            .filter(notices::shop_id.eq(Uid::of(scope.id())))
            .filter(notices::state.eq(Word(NoticeState::Planned))),
    )
    .set((
        notices::state.eq(Word(state)),
        notices::message_id.eq(message.map(Uid::of)),
        notices::because.eq(because),
        notices::version.eq(notices::version + 1),
    ))
    .execute(tx.multi())?;
    Ok(changed == 1)
}

/// What a notice is about is from now on told without what only its mail may say.
pub fn tell_no_more(tx: &mut Tx<'_>, scope: &Shop, id: NoticeId, about: About) -> Result<(), Error> {
    diesel::update(notices::table.find(Uid::of(id)).filter(notices::shop_id.eq(Uid::of(scope.id()))))
        .set(notices::about.eq(Json(about)))
        .execute(tx.multi())?;
    Ok(())
}

/// The notices that a message carries, in the order in which they were planned.
pub fn carried_by(conn: &mut Conn, scope: &Shop, message: MessageId) -> Result<Vec<NoticeRow>, Error> {
    let rows = notices::table
        .filter(notices::shop_id.eq(Uid::of(scope.id())))
        .filter(notices::message_id.eq(Some(Uid::of(message))))
        .order(notices::id)
        .select(Row::as_select())
        .load::<Row>(conn.multi())?;
    Ok(rows.into_iter().map(NoticeRow::from).collect())
}

/// The shop's notices about a vehicle, by when they were planned for.
pub fn of_vehicle(conn: &mut Conn, scope: &Shop, vehicle: VehicleId) -> Result<Vec<NoticeRow>, Error> {
    let rows = notices::table
        .filter(notices::shop_id.eq(Uid::of(scope.id())))
        .filter(notices::vehicle_id.eq(Uid::of(vehicle)))
        .order((notices::planned_for, notices::id))
        .select(Row::as_select())
        .load::<Row>(conn.multi())?;
    Ok(rows.into_iter().map(NoticeRow::from).collect())
}

/// The notices about a warranty that went out, with when, the latest first.
pub fn sent_about(
    conn: &mut Conn,
    scope: &Shop,
    warranty: WarrantyId,
) -> Result<Vec<(NoticeRow, DateTime<Utc>)>, Error> {
    let rows = notices::table
        .inner_join(messages::table.on(notices::message_id.eq(messages::id.nullable())))
        .filter(notices::shop_id.eq(Uid::of(scope.id())))
        .filter(notices::warranty_id.eq(Some(Uid::of(warranty))))
        .filter(messages::sent_at.is_not_null())
        .order((messages::sent_at.desc(), notices::id.desc()))
        .select((Row::as_select(), messages::sent_at.assume_not_null()))
        .load::<(Row, At)>(conn.multi())?;
    Ok(rows.into_iter().map(|(row, at)| (row.into(), at.0)).collect())
}

/// A notice with whom and what it concerns, and how its message fares.
#[derive(Debug, Clone, PartialEq)]
pub struct ListedNotice {
    /// The notice.
    pub notice: NoticeRow,
    /// The owner's name.
    pub customer_name: String,
    /// The vehicle's identification number.
    pub vin: Option<String>,
    /// Its plate, in the shop's view.
    pub plate: Option<String>,
    /// Make.
    pub make: Option<String>,
    /// Model.
    pub model: Option<String>,
    /// The Message-ID of its message, without angle brackets.
    pub message_id: Option<String>,
    /// When its message went out.
    pub sent_at: Option<DateTime<Utc>>,
    /// How often sending was tried.
    pub attempts: i32,
    /// What the last attempt failed for.
    pub last_error: Option<String>,
}

type Listed = (
    Row,
    String,
    Option<String>,
    (Option<String>, Option<String>, Option<String>),
    Option<(String, Option<At>, i32, Option<String>)>,
);

/// The shop's notices in these states (all where none is given), newest first, after the one with id `after`; only one
/// of them where it is named.
pub fn list(
    conn: &mut Conn,
    scope: &Shop,
    states: &[NoticeState],
    only: Option<NoticeId>,
    after: Option<NoticeId>,
    limit: i64,
) -> Result<Vec<ListedNotice>, Error> {
    let shop = Uid::of(scope.id());
    let mut query = notices::table
        .inner_join(customers::table.on(customers::id.eq(notices::customer_id)))
        .inner_join(vehicles::table.on(vehicles::id.eq(notices::vehicle_id)))
        .inner_join(
            shop_vehicles::table
                .on(shop_vehicles::vehicle_id.eq(notices::vehicle_id).and(shop_vehicles::shop_id.eq(shop))),
        )
        .left_join(messages::table.on(notices::message_id.eq(messages::id.nullable())))
        .filter(notices::shop_id.eq(shop))
        .select((
            Row::as_select(),
            customers::name,
            vehicles::vin,
            (shop_vehicles::plate, shop_vehicles::make, shop_vehicles::model),
            (messages::message_id, messages::sent_at, messages::attempts, messages::last_error).nullable(),
        ))
        .into_boxed();
    if !states.is_empty() {
        let states: Vec<Word<NoticeState>> = states.iter().copied().map(Word).collect();
        query = query.filter(notices::state.eq_any(states));
    }
    if let Some(only) = only {
        query = query.filter(notices::id.eq(Uid::of(only)));
    }
    if let Some(after) = after {
        query = query.filter(notices::id.lt(Uid::of(after)));
    }
    let rows = query.order(notices::id.desc()).limit(limit).load::<Listed>(conn.multi())?;
    let listed = |(notice, customer_name, vin, (plate, make, model), message): Listed| {
        let (message_id, (sent_at, attempts, last_error)) = message
            .map(|(id, at, attempts, error)| (Some(id), (at.map(|at| at.0), attempts, error)))
            .unwrap_or_default();
        let notice = notice.into();
        ListedNotice {
            notice,
            customer_name,
            vin,
            plate,
            make,
            model,
            message_id,
            sent_at,
            attempts,
            last_error,
        }
    };
    Ok(rows.into_iter().map(listed).collect())
}
