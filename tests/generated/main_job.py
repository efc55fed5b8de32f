"""The main job through a client that was generated from the document: `main_job.py URL EMAIL PASSWORD`.

Everything is called and read by the generated types alone; whatever is answered with a problem ends the script.
"""

import datetime as dt
import sys

from lustrum_client import AuthenticatedClient, Client
from lustrum_client import models as m
from lustrum_client.api.batches import post_v1_batches
from lustrum_client.api.customers import get_v1_customers_id, patch_v1_customers_id, post_v1_customers
from lustrum_client.api.eligibility import get_v1_eligibility
from lustrum_client.api.jobs import (
    get_v1_jobs_id_checks,
    post_v1_jobs,
    post_v1_jobs_id_climate,
    post_v1_jobs_id_coats,
    post_v1_jobs_id_handover,
    post_v1_jobs_id_sign_off,
    post_v1_jobs_id_steps,
)
from lustrum_client.api.products import post_v1_products
from lustrum_client.api.signing_in import post_v1_sessions
from lustrum_client.api.terms import post_v1_terms, post_v1_terms_code_editions_n_publish
from lustrum_client.api.vehicles import post_v1_vehicles, post_v1_vehicles_id_events
from lustrum_client.api.visits import post_v1_visits

TERMS = {
    "terms": "lustrum-terms/1", "code": "three-winters", "edition": 1, "title": "Three winters",
    "cover": [{"surface": "paint", "lasts": {"years": 3}}],
    "upkeep": [{"key": "yearly", "service": "inspection", "by": "shop", "counted_from": "start",
                "every": {"years": 1}, "late": {"days": 30}, "if_missed": {"effect": "end"}}],
    "build": [{"surface": "paint", "coats": [{"product": "marsh-20"}], "prep": ["panel_wipe"]}],
}
SHEET = {
    "surfaces": ["paint"],
    "cure": {"reference": {"c": 20, "rh_pct": 50}, "temperature": {"q10": 2.0},
             "milestones": [{"name": "wash-safe", "h": 168}]},
}
ON = dt.date(2026, 3, 10)


def at(hour, minute=0):
    return dt.datetime(2026, 3, 9, hour, minute, tzinfo=dt.timezone.utc)


def done(answer):
    """What was answered, unless it is a problem."""
    if answer is None or isinstance(answer, m.Problem):
        sys.exit(f"refused: {answer}")
    return answer


def main(url, email, password):
    nobody = Client(base_url=url)
    session = done(post_v1_sessions.sync(client=nobody, body=m.SignIn(email=email, password=password)))
    client = AuthenticatedClient(base_url=url, token=session.access_token)

    sheet = m.ProductInputSheetType0.from_dict(SHEET)
    coating = m.ProductInput(code="marsh-20", title="Marsh 20", role=m.ProductRole.COATING, sheet=sheet)
    assert done(post_v1_products.sync(client=client, body=coating)).edition == 1
    bottle = m.BatchInput(product="marsh-20", number="M20-0417", expires_on=dt.date(2031, 4, 30), ml=50.0)
    assert done(post_v1_batches.sync(client=client, body=bottle)).state == m.BatchState.USABLE
    draft = done(post_v1_terms.sync(client=client, body=m.TermsDocument.from_dict(TERMS)))
    assert draft.faults == []
    done(post_v1_terms_code_editions_n_publish.sync("three-winters", 1, client=client))

    owner = done(post_v1_customers.sync(
        client=client, body=m.CustomerInput(name="Signe Aas", email="signe@owners.example")))
    # A change is one of the version that was read.
    read = get_v1_customers_id.sync_detailed(owner.id, client=client)
    changed = done(patch_v1_customers_id.sync(
        owner.id, client=client, if_match=read.headers["ETag"], body=m.CustomerPatch(phone="+47 5550 0149")))
    assert (changed.phone, changed.name) == ("+47 5550 0149", "Signe Aas")

    vehicle = done(post_v1_vehicles.sync(
        client=client, body=m.VehicleInput(plate="QC-417", make="Sorrel", model="Pico", customer_id=owner.id)))
    odometer = m.OdometerInput(value=412, unit=m.OdometerUnit.KM)
    job = done(post_v1_jobs.sync(client=client, body=m.JobInput(
        vehicle_id=vehicle.id, odometer=odometer, terms=m.TermsChoice(code="three-winters"))))
    wipe = m.Step(kind=m.StepKind.PANEL_WIPE, surfaces=[m.Surface.PAINT], ended_at=at(8, 50))
    done(post_v1_jobs_id_steps.sync(str(job.id), client=client, body=wipe))
    reading = m.ClimateReading(at=at(8, 55), air_c=20.5, rh_pct=48.0, surface_c=19.0)
    done(post_v1_jobs_id_climate.sync(job.number, client=client, body=reading))
    coat = m.Coat(surface=m.Surface.PAINT, panels=["bonnet", "roof"], product="marsh-20", batch="M20-0417",
                  started_at=at(9), ended_at=at(9, 40))
    # Sent twice under one key, as a client does that lost the answer, it is entered once.
    entered = {done(post_v1_jobs_id_coats.sync(job.number, client=client, body=coat, idempotency_key="coat-1")).id
               for _ in range(2)}
    assert len(entered) == 1
    look = m.Step(kind=m.StepKind.HIGH_SPOT_CHECK, surfaces=[m.Surface.PAINT], ended_at=at(9, 45))
    done(post_v1_jobs_id_steps.sync(str(job.id), client=client, body=look))
    found = done(get_v1_jobs_id_checks.sync(job.number, client=client)).items
    assert found == [], found
    assert done(post_v1_jobs_id_sign_off.sync(job.number, client=client)).state == m.JobState.SIGNED_OFF
    handed = done(post_v1_jobs_id_handover.sync(
        job.number, client=client, body=m.HandoverInput(on=ON, odometer=odometer)))
    assert handed.warranty.cover[0].last_day == dt.date(2029, 3, 10)

    visit = done(post_v1_visits.sync(client=client, body=m.VisitInput(
        vehicle_id=vehicle.id, on=ON, services=[m.ServiceInput(service="inspection")])))
    assert [effect.effect for effect in visit.effects] == [m.EffectKind.NONE]
    assert visit.effects[0].because == m.NoEffect.TOO_EARLY, visit.effects
    repair = m.RepairEvent(kind=m.RepairEventKind.REPAIR, on=ON, surface=m.Surface.PAINT, panel="roof")
    done(post_v1_vehicles_id_events.sync(vehicle.id, client=client, body=repair))
    verdict = done(get_v1_eligibility.sync(client=client, plate="QC-417"))
    assessment = verdict.warranties[0].assessment
    assert assessment.cover["paint"].state == m.State.IN_FORCE, assessment
    assert [out.panel for out in assessment.panels] == ["roof"], assessment
    refused = get_v1_eligibility.sync_detailed(client=client, plate="QC-000")
    assert (refused.status_code, refused.parsed.code) == (404, "not_found")
    print(f"{handed.warranty.number}: in force on paint, but for {assessment.panels[0].panel}")


main(*sys.argv[1:])
