//! The tables as diesel sees them; private to `db`.

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    settings (name) {
        name -> Text,
        value -> Text,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    keys (id) {
        id -> Text,
        purpose -> Text,
        secret -> Binary,
        created_at -> Text,
        retired_at -> Nullable<Text>,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    shops (id) {
        id -> Uid,
        name -> Text,
        time_zone -> Text,
        details -> Text,
        created_at -> Text,
        version -> BigInt,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    people (id) {
        id -> Uid,
        email -> Text,
        password -> Text,
        created_at -> Text,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    members (id) {
        id -> Uid,
        shop_id -> Uid,
        person_id -> Uid,
        name -> Text,
        email -> Text,
        role -> Text,
        disabled_at -> Nullable<Text>,
        created_at -> Text,
        version -> BigInt,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    sessions (id) {
        id -> Uid,
        member_id -> Uid,
        generation -> BigInt,
        rotated_at -> Text,
        expires_at -> Text,
        ended_at -> Nullable<Text>,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    counters (shop_id, kind, year) {
        shop_id -> Uid,
        kind -> Text,
        year -> Integer,
        value -> BigInt,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    ticks (task, at) {
        task -> Text,
        at -> Text,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    records (shop_id, seq) {
        shop_id -> Uid,
        seq -> BigInt,
        kind -> Text,
        subject -> Text,
        body -> Text,
        digest -> Binary,
        leaf -> Binary,
        recorded_at -> Text,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    record_persons (shop_id, seq, place) {
        shop_id -> Uid,
        seq -> BigInt,
        place -> Text,
        salt -> Binary,
        text -> Text,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    vehicles (id) {
        id -> Uid,
        vin -> Nullable<Text>,
        last_recorded -> Nullable<Text>,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    shop_vehicles (shop_id, vehicle_id) {
        shop_id -> Uid,
        vehicle_id -> Uid,
        plate -> Nullable<Text>,
        plate_key -> Nullable<Text>,
        make -> Nullable<Text>,
        model -> Nullable<Text>,
        model_year -> Nullable<Integer>,
        colour -> Nullable<Text>,
        finish -> Text,
        size -> Text,
        odometer_unit -> Text,
        search_key -> Text,
        created_at -> Text,
        version -> BigInt,
        door_code -> Binary,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    customers (id) {
        id -> Uid,
        shop_id -> Uid,
        name -> Text,
        kind -> Text,
        email -> Nullable<Text>,
        phone -> Nullable<Text>,
        language -> Text,
        time_zone -> Text,
        mail_upkeep -> Bool,
        mail_history -> Bool,
        search_key -> Text,
        created_at -> Text,
        version -> BigInt,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    ownerships (id) {
        id -> Uid,
        shop_id -> Uid,
        vehicle_id -> Uid,
        customer_id -> Uid,
        from_on -> Date,
        until_on -> Nullable<Date>,
        event_id -> Nullable<Uid>,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    vehicle_events (id) {
        id -> Uid,
        shop_id -> Uid,
        vehicle_id -> Uid,
        position -> BigInt,
        kind -> Text,
        on_day -> Date,
        recorded_at -> Text,
        odometer_value -> Nullable<BigInt>,
        odometer_unit -> Nullable<Text>,
        km -> Nullable<BigInt>,
        body -> Text,
        instead_of -> Nullable<Uid>,
        retracts -> Nullable<Uid>,
        visit_id -> Nullable<Uid>,
        entered_by -> Nullable<Uid>,
        record_seq -> BigInt,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    visits (id) {
        id -> Uid,
        shop_id -> Uid,
        vehicle_id -> Uid,
        on_day -> Date,
        odometer_value -> Nullable<BigInt>,
        odometer_unit -> Nullable<Text>,
        note -> Nullable<Text>,
        done_by -> Nullable<Text>,
        entered_by -> Nullable<Uid>,
        entered_at -> Text,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    products (id) {
        id -> Uid,
        shop_id -> Uid,
        code -> Text,
        title -> Text,
        role -> Text,
        created_at -> Text,
        version -> BigInt,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    sheets (id) {
        id -> Uid,
        shop_id -> Uid,
        product_id -> Uid,
        edition -> Integer,
        document -> Text,
        digest -> Binary,
        created_at -> Text,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    batches (id) {
        id -> Uid,
        shop_id -> Uid,
        product_id -> Uid,
        number -> Text,
        state -> Text,
        made_on -> Nullable<Date>,
        expires_on -> Nullable<Date>,
        opened_on -> Nullable<Date>,
        ml -> Nullable<Double>,
        created_at -> Text,
        version -> BigInt,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    terms (id) {
        id -> Uid,
        shop_id -> Uid,
        code -> Text,
        edition -> Integer,
        state -> Text,
        document -> Text,
        digest -> Binary,
        created_at -> Text,
        published_at -> Nullable<Text>,
        published_by -> Nullable<Uid>,
        version -> BigInt,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    accreditations (id) {
        id -> Uid,
        shop_id -> Uid,
        issuer -> Text,
        from_on -> Date,
        until_on -> Nullable<Date>,
        version -> BigInt,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    jobs (id) {
        id -> Uid,
        shop_id -> Uid,
        number -> Text,
        vehicle_id -> Uid,
        state -> Text,
        odometer_value -> BigInt,
        odometer_unit -> Text,
        terms_code -> Nullable<Text>,
        terms_edition -> Nullable<Integer>,
        started_at -> Nullable<Text>,
        created_at -> Text,
        created_by -> Uid,
        signed_off_at -> Nullable<Text>,
        signed_off_by -> Nullable<Uid>,
        record_seq -> Nullable<BigInt>,
        record_digest -> Nullable<Binary>,
        handed_over_on -> Nullable<Date>,
        handover_km -> Nullable<BigInt>,
        cancelled_because -> Nullable<Text>,
        version -> BigInt,
        reading_id -> Nullable<Uid>,
        package -> Nullable<Text>,
        plan -> Nullable<Text>,
        stages -> Nullable<Text>,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    job_panels (job_id, position) {
        job_id -> Uid,
        position -> Integer,
        surface -> Nullable<Text>,
        panel -> Text,
        finish -> Nullable<Text>,
        excluded -> Bool,
        old_coating -> Bool,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    steps (id) {
        id -> Uid,
        job_id -> Uid,
        kind -> Text,
        surfaces -> Text,
        panels -> Nullable<Text>,
        product -> Nullable<Text>,
        dilution -> Nullable<Text>,
        abrasive -> Nullable<Bool>,
        wheels_off -> Nullable<Bool>,
        started_at -> Nullable<Text>,
        ended_at -> Nullable<Text>,
        done_by -> Nullable<Uid>,
        entered_by -> Uid,
        entered_at -> Text,
        version -> BigInt,
        bottle_ml -> Nullable<Double>,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    climate (id) {
        id -> Uid,
        job_id -> Uid,
        at -> Text,
        air_c -> Double,
        rh_pct -> Double,
        surface_c -> Nullable<Double>,
        place -> Nullable<Text>,
        entered_by -> Uid,
        entered_at -> Text,
        version -> BigInt,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    coats (id) {
        id -> Uid,
        job_id -> Uid,
        surface -> Text,
        panels -> Text,
        product -> Text,
        sheet_edition -> Nullable<Integer>,
        batch -> Text,
        started_at -> Text,
        ended_at -> Text,
        ml -> Nullable<Double>,
        area_m2 -> Nullable<Double>,
        done_by -> Nullable<Uid>,
        entered_by -> Uid,
        entered_at -> Text,
        version -> BigInt,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    coat_sections (coat_id, position) {
        coat_id -> Uid,
        position -> Integer,
        panels -> Text,
        applied_at -> Text,
        levelled_at -> Nullable<Text>,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    passes (id) {
        id -> Uid,
        job_id -> Uid,
        code -> Text,
        subject -> Text,
        finding -> Binary,
        reason -> Text,
        member_id -> Uid,
        passed_at -> Text,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    warranties (id) {
        id -> Uid,
        shop_id -> Uid,
        number -> Text,
        verify_code -> Text,
        job_id -> Uid,
        vehicle_id -> Uid,
        customer_id -> Nullable<Uid>,
        terms_id -> Uid,
        start_on -> Date,
        start_km -> BigInt,
        time_zone -> Text,
        cover -> Text,
        entered_at -> Text,
        voided_at -> Nullable<Text>,
        void_reason -> Nullable<Text>,
        replaces -> Nullable<Uid>,
        assessed_on -> Date,
        next_change -> Nullable<Text>,
        version -> BigInt,
        plan_again -> Bool,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    facts (warranty_id, position) {
        warranty_id -> Uid,
        position -> BigInt,
        event_id -> Uid,
        body -> Text,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    verdicts (warranty_id, surface) {
        warranty_id -> Uid,
        surface -> Text,
        state -> Text,
        last_day -> Date,
        body -> Text,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    dues (warranty_id, rule, number) {
        warranty_id -> Uid,
        rule -> Integer,
        upkeep -> Text,
        number -> Integer,
        shop_id -> Uid,
        vehicle_id -> Uid,
        opens -> Date,
        due -> Date,
        closes -> Date,
        status -> Text,
        due_by_km -> Nullable<Date>,
        closes_by_km -> Nullable<Date>,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    messages (id) {
        id -> Uid,
        shop_id -> Uid,
        message_id -> Text,
        sender -> Text,
        recipient -> Text,
        file_name -> Text,
        bytes -> Binary,
        state -> Text,
        send_after -> Text,
        claimed_until -> Nullable<Text>,
        attempts -> Integer,
        last_error -> Nullable<Text>,
        created_at -> Text,
        sent_at -> Nullable<Text>,
        first_attempt_at -> Nullable<Text>,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    notices (id) {
        id -> Uid,
        shop_id -> Uid,
        business_key -> Text,
        kind -> Text,
        state -> Text,
        customer_id -> Uid,
        vehicle_id -> Uid,
        warranty_id -> Nullable<Uid>,
        about -> Text,
        subject -> Text,
        planned_for -> Text,
        message_id -> Nullable<Uid>,
        created_at -> Text,
        version -> BigInt,
        because -> Nullable<Text>,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    appointments (id) {
        id -> Uid,
        shop_id -> Uid,
        vehicle_id -> Uid,
        at -> Text,
        on_day -> Date,
        state -> Text,
        note -> Nullable<Text>,
        created_at -> Text,
        created_by -> Uid,
        version -> BigInt,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    appointment_dues (appointment_id, warranty_id, upkeep, number) {
        appointment_id -> Uid,
        warranty_id -> Uid,
        upkeep -> Text,
        number -> Integer,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    answers (id) {
        id -> Uid,
        shop_id -> Uid,
        vehicle_id -> Uid,
        warranty_id -> Uid,
        upkeep -> Text,
        number -> Integer,
        answer -> Text,
        on_day -> Date,
        note -> Nullable<Text>,
        entered_at -> Text,
        entered_by -> Uid,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    tasks (id) {
        id -> Uid,
        shop_id -> Uid,
        business_key -> Text,
        kind -> Text,
        customer_id -> Nullable<Uid>,
        vehicle_id -> Uid,
        text -> Text,
        created_at -> Text,
        done_at -> Nullable<Text>,
        done_by -> Nullable<Uid>,
        version -> BigInt,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    packages (id) {
        id -> Uid,
        shop_id -> Uid,
        code -> Text,
        document -> Text,
        created_at -> Text,
        version -> BigInt,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    addenda (id) {
        id -> Uid,
        job_id -> Uid,
        body -> Text,
        entered_by -> Uid,
        entered_at -> Text,
        record_seq -> BigInt,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    idempotency (member_id, key) {
        shop_id -> Uid,
        member_id -> Uid,
        key -> Text,
        digest -> Binary,
        status -> Integer,
        location -> Nullable<Text>,
        etag -> Nullable<Text>,
        body -> Text,
        kept_at -> Text,
    }
}

diesel::table! {
    use diesel::sql_types::*;

    files (digest) {
        digest -> Binary,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    photos (id) {
        id -> Uid,
        job_id -> Uid,
        digest -> Binary,
        media_type -> Text,
        bytes -> BigInt,
        width_px -> Integer,
        height_px -> Integer,
        panel -> Nullable<Text>,
        taken_at -> Nullable<Text>,
        note -> Nullable<Text>,
        entered_afterwards -> Bool,
        entered_by -> Uid,
        entered_at -> Text,
        version -> BigInt,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    suppressions (shop_id, email) {
        shop_id -> Uid,
        email -> Text,
        words -> Text,
        suppressed_at -> Text,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    visit_photos (id) {
        id -> Uid,
        visit_id -> Uid,
        digest -> Binary,
        media_type -> Text,
        bytes -> BigInt,
        width_px -> Integer,
        height_px -> Integer,
        panel -> Nullable<Text>,
        taken_at -> Nullable<Text>,
        note -> Nullable<Text>,
        entered_by -> Uid,
        entered_at -> Text,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    marks (id) {
        id -> Uid,
        job_id -> Uid,
        panel -> Text,
        surface -> Text,
        kind -> Text,
        size_mm -> Nullable<Double>,
        note -> Nullable<Text>,
        photo_id -> Nullable<Uid>,
        seen_at -> Nullable<Text>,
        entered_by -> Uid,
        entered_at -> Text,
        version -> BigInt,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    paint_readings (id) {
        id -> Uid,
        job_id -> Uid,
        panel -> Text,
        polishing -> Text,
        ground -> Nullable<Text>,
        spots -> Text,
        read_at -> Nullable<Text>,
        read_by -> Nullable<Uid>,
        entered_by -> Uid,
        entered_at -> Text,
        version -> BigInt,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    signatures (id) {
        id -> Uid,
        job_id -> Uid,
        occasion -> Text,
        document -> Text,
        digest -> Binary,
        name -> Text,
        strokes -> Text,
        signed_at -> Text,
        entered_by -> Uid,
        entered_at -> Text,
        record_seq -> BigInt,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    imports (shop_id, kind, key) {
        shop_id -> Uid,
        kind -> Text,
        key -> Text,
        digest -> Binary,
        subject_id -> Uid,
        imported_at -> Text,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    links (id) {
        id -> Uid,
        shop_id -> Uid,
        customer_id -> Uid,
        purpose -> Text,
        hash -> Binary,
        vehicle_id -> Nullable<Uid>,
        says -> Nullable<Text>,
        made_at -> Text,
        expires_at -> Text,
        last_used_at -> Nullable<Text>,
        used_at -> Nullable<Text>,
        revoked_at -> Nullable<Text>,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    reports (id) {
        id -> Uid,
        shop_id -> Uid,
        vehicle_id -> Uid,
        customer_id -> Nullable<Uid>,
        business_key -> Text,
        says -> Text,
        reported_at -> Text,
        task_id -> Uid,
        record_seq -> BigInt,
    }
}

diesel::table! {
    use diesel::sql_types::*;
    use super::super::types::sql::Uid;

    report_photos (id) {
        id -> Uid,
        report_id -> Uid,
        digest -> Binary,
        media_type -> Text,
        bytes -> BigInt,
        width_px -> Integer,
        height_px -> Integer,
    }
}

diesel::allow_tables_to_appear_in_same_query!(
    settings,
    keys,
    shops,
    people,
    members,
    sessions,
    counters,
    ticks,
    records,
    record_persons,
    vehicles,
    shop_vehicles,
    customers,
    ownerships,
    vehicle_events,
    visits,
    products,
    sheets,
    batches,
    terms,
    accreditations,
    jobs,
    job_panels,
    steps,
    climate,
    coats,
    coat_sections,
    passes,
    warranties,
    facts,
    verdicts,
    dues,
    messages,
    notices,
    packages,
    addenda,
    appointments,
    appointment_dues,
    tasks,
    answers,
    idempotency,
    files,
    photos,
    visit_photos,
    suppressions,
    marks,
    paint_readings,
    signatures,
    imports,
    links,
    reports,
    report_photos,
);
