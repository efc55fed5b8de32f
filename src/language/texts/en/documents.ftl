# On every document.
paper-page = Page { $page } of { $pages }
paper-vehicle = Vehicle
paper-vin = VIN
paper-plate = Plate
paper-odometer = Odometer
paper-job = Job
paper-surface = Surface
paper-address = Address
paper-phone = Telephone
paper-email = E-mail
paper-record = Record number
paper-digest = Its SHA-256

# What terms ask for.
terms-by-owner = anybody, you too
terms-by-shop = any specialist shop
terms-by-accredited = a shop that { $issuer } has accredited
terms-when = When
terms-first = First time
terms-window = Window
terms-who = Done by
terms-surfaces = For
terms-missed = If missed
terms-once = Once
terms-every-start = An interval of { $period }, counted from the start of cover
terms-every-last = An interval of { $period }, counted from the last time
terms-or-distance = { $when }, or after { $distance }, whichever comes first
terms-window-early = From { $early } before the due day until that day
terms-window-late = Until { $late } after the due day
terms-window-both = From { $early } before the due day until { $late } after it
terms-miss = Miss { $number }: { $what }
terms-miss-on = Miss { $number } and every one after: { $what }
terms-note = It is noted. Cover stays as it is.
terms-end = Cover ends.
terms-shorten = Cover ends { $period } earlier.
terms-suspend = Cover is on hold until it is made good by { $services }, done by { $by }.
terms-suspend-within = Cover is on hold. It is back in force once made good within { $period } by { $services }, done by { $by }; otherwise it ends.
terms-breach = { $key }: { $what }
terms-breach-on = { $key } ({ $surfaces }): { $what }
terms-transfer-free = Cover goes with the vehicle, to any number of owners. Nothing has to be done for it.
terms-transfer-none = Only the first owner is covered. Cover ends when the vehicle is sold.
terms-transfer-any = Cover goes with the vehicle, to any number of owners.
terms-transfer-owners = Cover goes with the vehicle, to { $owners } owners in all, the first among them.
terms-transfer-tell = Tell the shop of the sale within { $period }.
terms-transfer-inspect = Have the vehicle inspected within { $period } after the sale, by { $by }.
terms-repair = A panel that is repaired or repainted is out of cover from that day on, until it is coated again.
terms-repair-within = A panel that is repaired or repainted is out of cover from that day on. It is covered again once it is coated again within { $period }.
terms-repair-never = A panel that is repaired or repainted is out of cover from that day on.

# The certificate of a warranty.
certificate-kind = Warranty certificate
certificate-lead = Limited warranty of { $shop } on the coating of this vehicle
certificate-description = Warranty { $number } of { $shop } on the coating of the vehicle { $vehicle }: cover, upkeep, claims and rights.
certificate-foot = Check this certificate at { $address }
certificate-code = Scan to see how it stands today
certificate-code-alt = Code that opens { $address }
certificate-issued-to = Issued to
certificate-issued-on = Issued on
certificate-start = Cover begins on
certificate-terms = Terms
certificate-edition = { $code }, edition { $edition }
certificate-void = This warranty is void
certificate-void-since = It was issued in error, and covers nothing. It has been void since { $day }.
certificate-replaced = This warranty has been replaced
certificate-replaced-by = Warranty { $number } has taken its place.
certificate-cover = What is covered, and for how long
certificate-cover-lead = Cover begins on { $day } with the odometer at { $distance }. Each surface is covered through its last day, or up to its distance, whichever comes first.
certificate-panels = Panels covered
certificate-last-day = Last day
certificate-up-to = Distance
certificate-km = { $distance } from the start
certificate-no-limit = no limit
certificate-cover-note = As promised on the day of issue. What has happened since can change it; the code above shows how cover stands today.
certificate-not-covered = What is not covered
certificate-left-out = Panels left out ({ $surface }): { $panels }
certificate-rest = Every surface and panel that is not named above
certificate-remedy = What we do if the coating fails
certificate-remedy-silent = These terms name no remedy of their own. What the law gives you applies; see “Your rights”.
certificate-claim = How to make a claim
certificate-report = Tell { $shop } as soon as you notice a fault.
certificate-report-within = Tell { $shop } within { $period } after you notice a fault.
certificate-bring = Have this certificate or its number at hand, and let the shop look at the vehicle.
certificate-work-by = Work under this warranty is done by { $shop }, or by a shop that it names to you.
certificate-guarantor = Warrantor
certificate-upkeep = What you have to do to keep it
certificate-upkeep-lead = Cover depends on the upkeep below. Keep the invoices of what others do.
certificate-upkeep-none = No upkeep is asked for.
certificate-entry = A service has to reach the record within { $period } after it was done. Later, the shop has to confirm it.
certificate-breaches = What else affects cover
certificate-transfer = If you sell the vehicle
certificate-repair = If a panel is repaired
certificate-care = Care and cautions
certificate-care-fresh = While the coating is fresh, keep it dry and do not wash it until the day that the shop told you.
certificate-care-products = Use care products as their labels and safety data sheets say: wear gloves, let in fresh air, and never work on hot panels.
certificate-care-ice = Do not scrape ice off coated panels, and do not pour hot water on them. Wash water freezes: mind your step.
certificate-law = Your rights
certificate-law-remedies = The law gives you remedies against the seller, free of charge, if goods do not conform to the contract. This warranty does not affect them.
certificate-law-rights = This warranty gives you specific legal rights, and you may also have other rights which vary from State to State.
certificate-law-implied = This certificate does not limit how long an implied warranty lasts. Where other papers of the seller do: some States do not allow limitations on how long an implied warranty lasts, so such a limitation may not apply to you.
certificate-law-damages = This certificate does not exclude or limit incidental or consequential damages. Where other papers of the seller do: some States do not allow the exclusion or limitation of incidental or consequential damages, so it may not apply to you.
certificate-law-dispute = You need not go through any dispute settlement procedure before you go to court.
certificate-law-card = You need not send back any registration card: cover does not depend on it.
certificate-law-territory = Cover holds wherever the vehicle is. Consumer law stands above these terms.
certificate-seal = Proof
certificate-seal-lead = The shop cannot change this promise unseen: it stands in the shop's log of records, and the terms are known by their digest. A signed copy can be checked without asking the shop.
certificate-terms-digest = SHA-256 of the terms
certificate-verify = Check it at
certificate-keys = Keys of signed copies

# The winter card: care of a fresh coating.
winter-card-kind = Care card
winter-card-heading = Fresh coating: keep it dry
winter-card-lead = For { $vehicle }, coated by { $shop }
winter-card-description = When the fresh coating of { $vehicle } may meet water, and when it may be washed.
winter-card-foot = The times are estimates. If in doubt, ask { $shop }.
winter-card-leaves = Leaves the shop
winter-card-water = Keep dry until
winter-card-wash = First wash from
winter-card-cured = Fully cured from
winter-card-unknown = not known yet: ask us
winter-card-estimates = These times are estimates. They are reckoned from what was measured in the shop and from the weather last read outside; colder weather makes them later. All times are { $zone }.
winter-card-panels = Panel by panel
winter-card-panel = Panel
winter-card-covered = now: a rain-safe top layer lies over it
winter-card-may-get-wet = no longer needed: it may get wet now
winter-card-now = now
winter-card-never = Until then, never
winter-card-never-wash = wash it, in a car wash or by hand
winter-card-never-rub = rub, polish, or wipe dust off a dry panel
winter-card-never-snow = brush snow or scrape ice off it; let it melt by itself, under a roof with the engine off
winter-card-never-cover = put a car cover on it
winter-card-never-chemicals = use chemicals, wax or de-icer on it
winter-card-wet = If it gets wet all the same
winter-card-wet-text = Do not let drops dry on it. Dab them off with a clean, soft cloth, without pressure, and leave it under a roof. Bird droppings and road salt: call us the same day.
winter-card-after = The first wash
winter-card-after-text = By hand, in the shade, with a pH-neutral shampoo, two buckets and a soft mitt. No brushes. Dry with a soft towel.
winter-card-safety = Wash water freezes: do not wash in the frost, and mind your step. A frozen door is not forced open.

# The label in the door frame.
door-label-kind = Door label
door-label-description = Label for the door frame of { $vehicle }: the code opens what is on it and how it is washed.
door-label-heading = This vehicle is coated
door-label-code = Scan before you wash or polish: what is on which panel, and what is safe for it.
door-label-code-alt = Code that opens the page of this vehicle

# A job, on its sheet, in the history and in the dispute file.
paper-owner = Owner
job-stands = State
job-state = { $state ->
    [open] open
    [signed_off] signed off
    [handed_over] handed over
   *[cancelled] cancelled
}
job-taken-in = Taken in
job-signed-off = Signed off
job-signed-off-by = { $at }, by { $by }
job-handed-over = Handed over
job-excluded = Left out
job-panel = Panel
job-note = Note
job-marks = Marks at check-in
job-marks-none = No marks were noted.
job-mark = Mark
job-size = Size
job-mark-kind = { $kind ->
    [scratch] scratch
    [scuff] scuff
    [stone_chip] stone chip
    [dent] dent
    [crack] crack
    [swirl] swirl marks
    [etching] etching
    [water_spot] water spot
    [overspray] overspray
    [stain] stain
    [corrosion] corrosion
    [peeling] peeling
    [kerb_damage] kerb damage
    [tear] tear
   *[other] other
}
job-paint = Paint readings
job-paint-before = Before polishing
job-paint-after = After polishing
job-paint-mean = { $count ->
    [one] { $mean } µm ({ $count } reading)
   *[other] { $mean } µm ({ $count } readings)
}
job-paint-alt = { $count ->
    [one] The vehicle from above, with the mean of the readings on { $count } panel, as in the table.
   *[other] The vehicle from above, with the mean of the readings on { $count } panels, as in the table.
}
job-steps = Preparation
job-when = When
job-step = Step
job-where = Where
job-with = With
job-by = By
job-coats = Coats
job-product = Product
job-batch = Batch
job-sheet-edition = data sheet edition { $edition }
job-climate = Climate
job-air = Air
job-humidity = Humidity
job-panel-temperature = Panel
job-place = Place
job-climate-range = { $count ->
    [one] { $count } reading: air { $coldest } to { $warmest } °C, relative humidity { $driest } to { $dampest } %.
   *[other] { $count } readings: air { $coldest } to { $warmest } °C, relative humidity { $driest } to { $dampest } %.
}
job-checks = Checks
job-checks-none = The checks found nothing.
job-photos = Photos
job-photo = Vehicle
job-photo-alt = Photo of job { $number }: { $shows }

# The job sheet.
job-sheet-kind = Job sheet
job-sheet-heading = Job sheet of { $vehicle }
job-sheet-description = Job { $number } on the vehicle { $vehicle }: cautions, findings, preparation, climate, coats and sign-off.
job-found = As it came
job-done = What was done
job-cautions = Cautions
job-cautions-sheets = From the data sheets
job-caution-first = The safety data sheet of each product and the local rules decide. Read them before the bottle is opened.
job-caution-gloves = Gloves, eye protection and long sleeves as the safety data sheet says. Change gloves that got wet inside.
job-caution-air = Solvents: let in fresh air or extract the vapours at floor level. No flame, spark, glowing heater or smoking near them. Headache or dizziness: out, into fresh air.
job-caution-isocyanates = Isocyanates: only trained people, with the respirator or supplied air that the safety data sheet names; nobody else in the room until it has been aired. Whoever has reacted to them once stays away.
job-caution-rags = Cloths soaked with solvent or coating can catch fire by themselves: into a closed metal bin, and out of the building at night.
job-caution-mixing = Never mix cleaners. Acid and chlorine give off poisonous gas; fallout remover stays off hot discs and dry paint.
job-caution-lamps = Infrared lamps: eye protection, the distance that the data sheet names, and nobody leaves them alone. Nothing that burns near them.
job-caution-footing = Wet and icy floors are slippery. A lifted vehicle stands on stands; a tall one is worked on from a platform, not from a sill or a wheel.
job-sign-off = Sign-off
job-sign-off-open = Not signed off yet.
job-line-name = Name
job-line-day = Day and time
job-line-signature = Signature

# The history of a vehicle.
history-kind = Service history
history-heading = History of { $vehicle }
history-lead = As of { $day }
history-description = What was done on the vehicle { $vehicle }, and how its cover stands on { $day }.
history-warranty = Warranty { $number }
history-state = State
history-from = From
history-state-of = { $state ->
    [not_begun] not begun
    [in_force] in force
    [suspended] on hold
   *[ended] ended
}
history-cause = { $cause ->
    [transfer] the vehicle was sold
    [closed] the vehicle left for good
    [distance] distance reached
    [missed] upkeep was missed
    [breach] event that affects cover
    [shortened] shortened
   *[expired] its time is over
}
history-cover-alt = Cover of warranty { $number } over time: a bar for each surface, and a mark for each due, as in the tables.
history-panel-out = { $panel } ({ $surface }): out of cover since { $since }
history-panel-back = { $panel } ({ $surface }): out of cover from { $since }, back in cover from { $until }
history-dues = Upkeep
history-rule = Rule
history-opens = Window opens
history-due = Due
history-closes = Window closes
history-due-status = { $status ->
    [ahead] ahead
    [open] open
    [late] late
    [missed] missed
    [met] met
   *[waived] waived
}
history-jobs = Coatings
history-jobs-none = No job is on record.
history-happened = Visits and events
history-happened-none = Nothing is on record.
history-day = Day
history-what = What
history-by-owner = the owner
history-by-other = another shop
history-outcome = { $outcome ->
    [in_order] In order
    [in_order_with_advice] In order, with advice
   *[finding] Finding
}
history-figure = { $name ->
    [contact_angle_deg] contact angle (°)
    [roll_off_deg] roll-off angle (°)
    [gloss_gu] gloss (GU)
   *[delta_e_00] colour change ΔE00
}
history-proof = Seen: { $proof }
history-not-as-asked = { $service }, not as the terms ask
history-reading = Odometer read
history-sold = Sold; the shop was told on { $day }
history-sold-not-told = Sold; the shop was not told
history-repair = Repaired or repainted: { $panel } ({ $surface })
history-recoat = Coated again: { $panel } ({ $surface })
history-breach = Event that affects cover: { $key }
history-waived = Waived: { $due }
history-extended = { $due } extended to { $day }
history-closed = Left for good
history-retraction = An entry was taken back

# The dispute file.
dispute-kind = Dispute file
dispute-heading = Everything on record about { $vehicle }
dispute-lead = Put together on { $at } ({ $zone })
dispute-description = Warranties with reasons, jobs, photos, events and the records about the vehicle { $vehicle }.
dispute-reasons = Why it stands so
dispute-job = Job { $number }
dispute-entered = Entered
dispute-entry = { $at }, record { $seq }
dispute-retracted = Taken back: { $what }
dispute-records = Records
dispute-records-lead = Each document that people answer for is kept once in the shop’s log, with its place and the SHA-256 of what it says. None of them can be changed unseen.
dispute-seq = No.
dispute-document = Document
dispute-because = Reason: { $reason }
dispute-countersigned = Entered late; a manager has confirmed it.
dispute-imported = Taken from what the shop kept before.
dispute-instead = Stands in place of what record { $seq } says.
dispute-takes-back = Takes back what record { $seq } says.
dispute-owners = Owners
dispute-owner = As
dispute-owner-kind = { $kind ->
    [stock] dealer’s stock
   *[owner] owner
}
dispute-owner-until = Until
dispute-job-opened = Opened
dispute-job-cancelled = Cancelled because
dispute-finishes = Other finish
dispute-finish-is = { $finish ->
    [clear_coat] clear coat
    [matte] matte
    [single_stage] single stage
   *[film] film
}
dispute-old-coating = Came with a coating
dispute-readings = Each reading
dispute-section-applied = Applied
dispute-section-levelled = Levelled
dispute-section-by-eye = by eye
dispute-bottles = Products and batches
dispute-batch = The batch today
dispute-batch-unknown = not registered
dispute-batch-state = { $state ->
    [usable] usable
    [quarantined] quarantined
   *[recalled] recalled
}
dispute-batch-made = Made
dispute-batch-opened = Bottle opened
dispute-batch-expires = Use by
dispute-passes = Passed by a manager, and changed since
dispute-signatures = The owner’s signatures
dispute-signatures-none = Nothing was signed by the owner.
dispute-signed = { $occasion ->
    [check_in] Signed at check-in
   *[handover] Signed at handover
}
dispute-signed-document = SHA-256 of what was signed
dispute-signature-alt = Signature of { $name }, drawn by hand
dispute-addenda = Entered after the sign-off
dispute-afterwards = entered after the sign-off
dispute-inspection = Inspection on { $day }
dispute-inspection-worked-out = Worked out from what was measured
dispute-inspection-decided = The inspector decided otherwise
dispute-inspection-remedy = What is done about it
dispute-inspection-remedy-is = { $remedy ->
    [decontaminate_and_top_up] decontaminate and top up
    [recoat_panel] coat the panel again
   *[claim] claim
}
dispute-water-arrived = Water, as it arrived
dispute-water-decontaminated = Water, once decontaminated
dispute-water = { $water ->
    [beading] beads that run off
    [sheeting] runs off at once as a sheet
    [slow] runs off slowly
   *[flat] lies flat and stays
}
dispute-measured = Measured
dispute-measured-first = First figure
dispute-measured-allowed = Allowed
dispute-visit-photos = Photos of the visit on { $day }
dispute-visit-photo-alt = Photo of the visit on { $day }: { $shows }
dispute-appointments = Appointments
dispute-appointment-for = For
dispute-appointment-state = { $state ->
    [booked] booked
    [kept] kept
    [missed] missed
   *[cancelled] cancelled
}
dispute-answers = What the owner answered
dispute-answer = Answer
dispute-answer-was = { $answer ->
    [will_come] will come
    [ask_again] wants to be asked again
    [elsewhere] has it done elsewhere
    [declined] declined
   *[not_reached] could not be reached
}
dispute-reports = What was reported
dispute-report-kind = { $kind ->
    [booking] The owner asked for a day
    [problem] The owner reported a problem
    [sold] The owner said that it is sold
    [door_wash] Wash noted at the vehicle
   *[door_repair] Repair noted at the vehicle
}
dispute-report-told = Told
dispute-report-at-vehicle = somebody at the vehicle
dispute-report-words = In their words
dispute-report-buyer = Buyer
dispute-report-desk = The shop
dispute-settled = settled it on { $at }, { $by }
dispute-open = has not settled it yet
dispute-notices = What the owner was told
dispute-notice-planned = Planned for
dispute-notice = Notice
dispute-notice-to = To
dispute-notice-because = Why
dispute-notice-kind = { $kind ->
    [record] What was done
    [aftercare] Care after handover
    [wash-from] First wash
    [first-look] First look
    [upcoming] Upkeep ahead
    [booked] Booked day
    [last-call] Last call
    [missed] Upkeep missed
    [season] Season
    [ending] End of cover
    [changed] Change of cover
    [sign-in] Sign-in
   *[link] Link that was asked for
}
dispute-notice-state = { $state ->
    [planned] planned
    [queued] written
    [sending] being sent
    [sent] sent
    [failed] failed
    [suppressed] held back
    [cancelled] cancelled
    [stale] no longer true
   *[dropped] left out
}
dispute-mail = mail { $number }
dispute-mails = The mails
dispute-mails-lead = Each mail is kept as it was written, byte by byte, with what was attached. Whoever received it can compare its Message-ID and the SHA-256.
dispute-mail-way = On its way
dispute-mail-proof = Known by
dispute-mail-bytes = { $count ->
    [one] { $count } byte
   *[other] { $count } bytes
}
dispute-mail-written = written { $at }
dispute-mail-sent = taken by a mail server { $at }
dispute-mail-attempts = { $count ->
    [one] { $count } attempt
   *[other] { $count } attempts
}
dispute-tasks = What the shop had to do
dispute-task-kind = { $kind ->
    [notice_failed] A mail could not be delivered
    [appointment_missed] The owner did not come
    [remedy] An inspection found something
    [booking_requested] The owner wants to come
    [problem_reported] The owner reported a problem
    [sold_reported] The owner said that it is sold
   *[door_note] Noted at the vehicle
}
dispute-log = { $count ->
    [one] When this file was put together, the shop’s log held { $count } record. From it anybody can work out the head of the Merkle tree (RFC 9162): if another comes out, something was changed.
   *[other] When this file was put together, the shop’s log held { $count } records. From them anybody can work out the head of the Merkle tree (RFC 9162): if another comes out, something was changed.
}
dispute-log-head = Head of the log
