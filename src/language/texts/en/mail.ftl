# What stands in mails to owners. A subject says: vehicle, what, date.
mail-subject-more = { $subject } (and { $count } more)
mail-subject-drill = [Drill] { $subject }
mail-drill = This mail is part of a drill. Nothing in it is real.
mail-greeting = Dear { $name },
mail-regards = Kind regards,
mail-reach = { $what ->
    [day] To fix a day, answer this mail.
    [booking] If the day no longer suits you, answer this mail.
   *[question] If you have a question, answer this mail.
}
mail-reach-by-phone = { $what ->
    [day] To fix a day, answer this mail or ring us: { $phone }.
    [booking] If the day no longer suits you, answer this mail or ring us: { $phone }.
   *[question] If you have a question, answer this mail or ring us: { $phone }.
}
mail-no-upkeep = No more mails about upkeep
mail-no-history = No more mails about what was done
# The subject of the mail that asks to end such mails; the shop reads it.
mail-unsubscribe = No more of these mails
mail-consumer-law = Consumer law stands above these terms: nothing in them takes away a right that it gives you.

# How names and links stand in plain text.
mail-fact = { $name }: { $value }
mail-link = { $label }:

# What a link does, as a command.
mail-do-book = Book a day
mail-do-change-booking = Change or cancel the appointment
mail-do-open-page = Open your vehicle’s page
mail-do-confirm-transfer = Confirm the new owner
mail-do-report-claim = Report the problem

# Names of facts.
mail-fact-what = What
mail-fact-due = Due on
mail-fact-from = Counts from
mail-fact-until = Counts until
mail-fact-distance = And no later than at
mail-fact-terms = Terms
mail-fact-day = Day
mail-fact-place = Where
mail-fact-keep-dry = Keep it dry until
mail-fact-first-wash = First wash from
mail-fact-full-cure = Fully cured on
mail-clause = “{ $title }”, { $clause }
mail-by-terms = Terms { $clause }

# A due comes up.
mail-upcoming-subject = { $vehicle }: { $services } due on { $date }
mail-upcoming-keeps = It keeps up the cover on { $surfaces }.
mail-who = { $by ->
    [accredited] An accredited shop has to do it.
    [shop] A shop has to do it.
   *[owner] You can do it yourself, or have it done.
}
mail-if-missed-note = If it is missed, it is noted, and your cover does not change.
mail-if-missed-end = If it is missed, cover on { $surfaces } ends.
mail-if-missed-shorten = If it is missed, cover on { $surfaces } ends { $period } earlier.
mail-if-missed-suspend = { $by ->
    [accredited] If it is missed, cover on { $surfaces } is on hold until the { $with } is done by an accredited shop.
    [shop] If it is missed, cover on { $surfaces } is on hold until the { $with } is done by a shop.
   *[owner] If it is missed, cover on { $surfaces } is on hold until the { $with } is done.
}
mail-if-missed-suspend-within = If that is not done within { $period }, cover ends.

# The window closes soon.
mail-last-call-subject = { $vehicle }: last call for { $services }, by { $date }
mail-last-call-open = We have no { $services } on record for this window yet. The last day on which it counts is { $closes }.

# A due was missed.
mail-missed-subject = { $vehicle }: { $services } missed, since { $date }
mail-missed-by-day = We have no { $services } on record that was done by { $closes }. It counts as missed from { $since }.
mail-missed-by-distance = We have no { $services } on record that was done before the vehicle had run { $distance }. It counts as missed from { $since }.
mail-cost-note = It is noted. Your cover does not change.
mail-cost-end = Cover on { $surfaces } ended with that.
mail-cost-shorten = Cover on { $surfaces } ends { $period } earlier than it would have.
mail-cost-suspend = { $by ->
    [accredited] Cover on { $surfaces } is on hold from { $since }. It is in force again from the day on which the { $with } is done by an accredited shop.
    [shop] Cover on { $surfaces } is on hold from { $since }. It is in force again from the day on which the { $with } is done by a shop.
   *[owner] Cover on { $surfaces } is on hold from { $since }. It is in force again from the day on which the { $with } is done.
}
mail-cost-suspend-until = The last day for that is { $until }; after it, cover ends for good.
mail-missed-if-done = If it was done in time and we have not heard of it, send us the invoice: we will put it right.

# A day is booked.
mail-booked-subject = { $vehicle }: booked for { $date }
mail-booked-again-subject = { $vehicle }: we expect you on { $date }
mail-booked = Your appointment is booked.
mail-booked-again = This is a reminder of your appointment.
mail-booked-calendar = A calendar file comes with this mail: open it to have the day in your calendar.

# What was done.
mail-record-handover-subject = { $vehicle }: what we did, { $date }
mail-record-warranty-subject = { $vehicle }: what we did, and your warranty, { $date }
mail-record-visit-subject = { $vehicle }: what we did on your visit, { $date }
mail-record-elsewhere-subject = { $vehicle }: done elsewhere, and now on record, { $date }
mail-done-step = { $step } with { $product }
mail-done-coat = { $product } on { $place }, batch { $batch }
mail-done-by-owner = { $service }, by yourself
mail-done-by = { $service }, by { $name }
mail-done-not = { $service } (could not be done)
mail-place = { $surface } ({ $panels })
mail-covered = What is covered:
mail-covered-by = What is covered by warranty { $warranty }:
mail-cover-until = { $hold ->
    [yes] on hold; until { $date }
   *[no] until { $date }
}
mail-cover-until-or = { $hold ->
    [yes] on hold; until { $date }, or { $distance } from the start, whichever comes first
   *[no] until { $date }, or { $distance } from the start, whichever comes first
}
mail-next = What falls due next:
mail-next-line = { $services }: due on { $due }, counts from { $opens } to { $closes }
mail-certificate = The certificate of this warranty comes with this mail, as a PDF.
mail-verify = Anybody can check this warranty here
mail-history = All that was done to your vehicle, as a PDF
mail-sheets = Safety data sheets of what was used ({ $products }) are yours for the asking: answer this mail.

# The first days. What to do and never to do is common practice of the trade, not the word of a data sheet.
mail-aftercare-subject = { $vehicle }: care for the first days, from { $date }
mail-aftercare = The coating on your vehicle is still curing. What counts in these days:
mail-ask-us-first = ask us first
mail-aftercare-until-then = Until it is cured:
mail-aftercare-dry = Keep it dry and, if you can, under a roof. If it gets wet all the same, dab the water off with a clean, soft cloth; do not rub.
mail-aftercare-droppings = Take off bird droppings, insects and tree sap soon: soak them with a wet, soft cloth and lift them off, without rubbing.
mail-aftercare-no-brushes = No automatic wash with brushes, neither now nor later.
mail-aftercare-no-heat = Never wash or wipe a hot surface, nor in full sun.
mail-aftercare-no-polish = No wax, no polish, no other product on the coating without asking us.
mail-aftercare-estimates = These days are estimates, from the products’ data sheets and from what we know of the weather. Where a data sheet or safety data sheet says otherwise, it stands above this mail.

# The first wash is safe. How to wash is common practice of the trade.
mail-wash-from-subject = { $vehicle }: you can wash it from { $date }
mail-wash-from = The coating laid before handover on { $handed-over } has cured far enough: you can wash your vehicle from { $from } on.
mail-wash-how = So that it stays as it is, wash it gently:
mail-wash-cool = In the shade, on a cool surface.
mail-wash-rinse = Rinse first with plenty of water, so that grit runs off before you touch the paint.
mail-wash-buckets = Two buckets: one with a pH-neutral shampoo, one with clear water to rinse the mitt in. A soft mitt, no sponge, from top to bottom.
mail-wash-wheels = The wheels last, with a cloth or brush of their own.
mail-wash-dry = Dry it with a soft, clean microfibre cloth.
mail-wash-no-brushes = No automatic wash with brushes, no kitchen sponge, no strong cleaners.
mail-care-sheets-above = This is common practice. Where a product’s data sheet or safety data sheet says otherwise, it stands above this mail.

# A look after the first weeks.
mail-first-look-subject = { $vehicle }: a look after the first weeks, handed over on { $date }
mail-first-look = We handed your vehicle over on { $handed-over }. In its first weeks a coating shows whether it has levelled everywhere: where there is too much of it, dark or iridescent patches stand out in low light.
mail-first-look-bring = Bring it by for a short look under our lights. The sooner such a spot is found, the easier it is put right.

# Before winter. Common practice of the trade.
mail-winter-subject = { $vehicle }: care before winter, { $date }
mail-winter = Before the salt comes, a few things that help the coating through the winter:
mail-winter-salt = Rinse off salt and road dirt often, the sills, wheel arches and wheels first.
mail-winter-frost = Wash only above freezing, and dry the door seals afterwards.
mail-winter-ice = Do not scrape ice or push snow off the paint with a hard edge: let it thaw, or use a soft brush for the loose snow.
mail-winter-hot-water = No hot water on frozen glass or paint.

# In spring. Common practice of the trade.
mail-spring-subject = { $vehicle }: care in spring, { $date }
mail-spring = Winter is over: a few things that bring the coating back to its best:
mail-spring-wash = Wash it thoroughly once, with plenty of water before the first touch, so that salt and grit run off.
mail-spring-wheels = Clean the wheels and wheel arches, where brake dust and salt have gathered.
mail-spring-pollen = Rinse pollen and tree sap off, do not wipe them off dry.
mail-spring-look = See whether water still runs off everywhere as it did. Where it does not, tell us before you put anything on it.

# Cover ends by itself.
mail-ending-subject = { $vehicle }: cover on { $surfaces } ends on { $date }
mail-ending = Cover by warranty { $warranty } comes to its end:
mail-ending-still = This is still covered afterwards:
mail-ending-nothing-left = Nothing else is covered by it after that.

# Cover changed.
mail-transferred-subject = { $vehicle }: new owner, from { $date }
mail-transferred = Since { $date } the vehicle is entered under its new owner. Warranty { $warranty } goes with it.
mail-transferred-ends = Since { $date } the vehicle is entered under its new owner. By its terms, warranty { $warranty } ended with that.
mail-panel-out-subject = { $vehicle }: no longer covered: { $panel }, from { $date }
mail-panel-out = From { $date } warranty { $warranty } no longer covers this, because it was repaired or repainted: { $place }. If you want it coated again, ask us whether the terms take it back into cover.
mail-panel-back-subject = { $vehicle }: covered again: { $panel }, from { $date }
mail-panel-back = From { $date } warranty { $warranty } covers this again, because it was coated anew: { $place }.
mail-on-hold-subject = { $vehicle }: cover on { $surfaces } on hold, from { $date }
mail-on-hold = From { $date } cover on { $surfaces } by warranty { $warranty } is on hold.
mail-on-hold-ask = Ask us what brings it back into force.
mail-back-in-force-subject = { $vehicle }: cover on { $surfaces } in force again, from { $date }
mail-back-in-force = From { $date } cover on { $surfaces } by warranty { $warranty } is in force again.
mail-back-in-force-by = What brought it back: { $service }.
mail-ended-subject = { $vehicle }: cover on { $surfaces } ended, { $date }
mail-ended = On { $date } cover on { $surfaces } by warranty { $warranty } ended.
mail-recalled-subject = { $vehicle }: recall of { $product }, { $date }
mail-recalled = On { $date } batch { $batch } of { $product } was recalled. It is on your vehicle: { $panels }.
mail-recalled-what-now = Please get in touch with us: we will look at it together and tell you what is to be done.

# A link that was asked for.
mail-link-transfer-subject = { $vehicle }: confirm the new owner
mail-link-claim-subject = { $vehicle }: report a problem
mail-link-transfer = You have asked for a link to tell us that the vehicle has a new owner. Nothing is changed until you confirm it there.
mail-link-claim = You have asked for a link to report a problem under the warranty. Nothing is sent to us until you confirm it there.
mail-link-good-for = The link works once, for { $minutes } from when it was asked for.
mail-link-not-asked = If you have not asked for it, you need do nothing.
