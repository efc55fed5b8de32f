//! What happens to a vehicle in a random history, entered as a shop enters it.

use chrono::{Days, NaiveDate};
use lustrum::app::events::TransferInput;
use lustrum::app::{corrections, events, visits, warranties};
use lustrum::core::ids::{EventId, VisitId, WarrantyId};
use serde_json::{Value, json};

use super::dice::Happening;
use super::town::{Town, input};

/// What was entered about a vehicle and can still be taken back or corrected.
#[derive(Debug, Default)]
pub(super) struct Entered {
    /// Events that can be taken back.
    pub(super) events: Vec<EventId>,
    /// The last visit with services that count and that nobody countersigned.
    visit: Option<(VisitId, Vec<EventId>)>,
    /// The last reading that was entered by itself.
    reading: Option<EventId>,
    /// The last sale, as long as the shop was not told of it.
    sale: Option<EventId>,
}

impl Entered {
    /// An event no longer counts.
    fn forgets(&mut self, event: EventId) {
        self.events.retain(|known| *known != event);
        self.reading = self.reading.filter(|reading| *reading != event);
        self.visit = self.visit.take().filter(|(_, services)| !services.contains(&event));
    }
}

impl Town {
    pub(super) fn enter(&mut self, history: usize, day: NaiveDate, happening: &Happening) {
        let app = self.app.clone();
        let of_it: Vec<WarrantyId> =
            self.cases.iter().filter(|case| case.history == history).map(|case| case.warranty).collect();
        let one = &mut self.histories[history];
        let (who, id) = (&self.branches[one.shop].who, one.vehicle);
        let ago = |late: &u64| day - Days::new(*late);
        let mut odometer = || {
            one.km += 60;
            json!({"value": one.km, "unit": "km", "confirmed": true})
        };
        match happening {
            Happening::Visit { late, service, carried_out, with_odometer, elsewhere } => {
                let mut body = json!({"vehicle_id": id, "on": ago(late),
                                      "services": [{"service": service, "carried_out": carried_out}]});
                if *elsewhere {
                    body["done_by"] =
                        json!({"kind": "other_shop", "name": "Hillside (invented)", "proof": "invoice"});
                }
                if *with_odometer {
                    body["odometer"] = odometer();
                }
                let visit = visits::add(&app, who, input(body), false).unwrap().unwrap();
                let services: Vec<EventId> = visit.services.iter().map(|service| service.event_id).collect();
                one.entered.events.extend(&services);
                one.entered.visit = Some((visit.id, services));
            }
            Happening::Reading => {
                let body = json!({"on": day, "odometer": odometer()});
                let reading = events::read_odometer(&app, who, id, input(body)).unwrap().id;
                one.entered.events.push(reading);
                one.entered.reading = Some(reading);
            }
            Happening::Event { late, body } => {
                let mut body = body.clone();
                body["on"] = json!(ago(late));
                one.entered.events.push(events::add(&app, who, id, input(body)).unwrap().id);
            }
            Happening::Sale { told } => {
                let mut body = json!({"on": day, "customer": {"name": "Invented Owner"}});
                if !told {
                    body["told"] = Value::Null;
                }
                let sale = events::transfer(&app, who, id, TransferInput::read(body).unwrap()).unwrap();
                one.entered.sale = (!told).then_some(sale.id);
            }
            Happening::TakeBack => {
                if let Some(event) = one.entered.events.pop() {
                    let body = json!({"kind": "retract", "event": event, "reason": "entered by mistake"});
                    events::add(&app, who, id, input(body)).unwrap();
                    one.entered.forgets(event);
                }
            }
            Happening::Countersign => {
                if let Some((visit, services)) = one.entered.visit.take() {
                    services.into_iter().for_each(|service| one.entered.forgets(service));
                    let why = json!({"reason": "seen in the book"});
                    let signed = corrections::countersign(&app, who, visit, input(why)).unwrap();
                    one.entered.events.extend(signed.services.iter().map(|service| service.event_id));
                }
            }
            Happening::Told { late } => {
                if let Some(sale) = one.entered.sale.take() {
                    corrections::told(&app, who, id, sale, input(json!({"on": ago(late)}))).unwrap();
                }
            }
            Happening::ReadAgain => {
                if let Some(reading) = one.entered.reading.take() {
                    one.entered.forgets(reading);
                    let right = json!({"odometer": odometer(), "reason": "misread"});
                    let read = corrections::correct_reading(&app, who, id, reading, input(right)).unwrap();
                    one.entered.events.push(read.id);
                }
            }
            Happening::Waive { upkeep, number } => {
                let body = json!({"upkeep": upkeep, "number": number, "on": day, "reason": "as agreed"});
                let waived = warranties::waive(&app, who, &of_it[0].to_string(), input(body)).unwrap();
                one.entered.events.push(waived.id);
            }
            Happening::Extend { upkeep, number, by } => {
                let body = json!({"upkeep": upkeep, "number": number, "to": day + Days::new(*by), "reason": "shop full"});
                let extended = warranties::extend(&app, who, &of_it[0].to_string(), input(body)).unwrap();
                one.entered.events.push(extended.id);
            }
        }
    }
}
