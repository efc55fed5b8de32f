# Surfaces: what a coating lies on, as within a sentence.
surface-paint = paint
surface-glass = glass
surface-trim = trim
surface-wheels = wheels
surface-headlights = headlights
surface-film = film
surface-leather = leather
surface-fabric = fabric
surface-soft-top = soft top
surface-metal = metal

# Panels and parts.
panel-bonnet = bonnet
panel-roof = roof
panel-boot = boot
panel-front-bumper = front bumper
panel-rear-bumper = rear bumper
panel-left-headlight = left headlight
panel-right-headlight = right headlight
panel-left-sill = left sill
panel-right-sill = right sill
panel-left-mirror = left mirror
panel-right-mirror = right mirror
panel-windscreen = windscreen
panel-rear-window = rear window
panel-soft-top = soft top
panel-cabin = cabin
panel-front-left-door = front left door
panel-front-right-door = front right door
panel-rear-left-door = rear left door
panel-rear-right-door = rear right door
panel-front-left-wing = front left wing
panel-front-right-wing = front right wing
panel-rear-left-wing = rear left wing
panel-rear-right-wing = rear right wing
panel-front-left-wheel = front left wheel
panel-front-right-wheel = front right wheel
panel-rear-left-wheel = rear left wheel
panel-rear-right-wheel = rear right wheel
panel-front-left-window = front left window
panel-front-right-window = front right window
panel-rear-left-window = rear left window
panel-rear-right-window = rear right window

# Steps of work.
step-pre-rinse = pre-rinse
step-film-removal = transport film removal
step-label-removal = label removal
step-wheel-clean = wheel cleaning
step-tar-removal = tar removal
step-fallout-removal = fallout removal
step-foam = foam
step-contact-wash = contact wash
step-rinse = rinse
step-dry = drying
step-clay = clay
step-glass-polish = glass polish
step-masking = masking
step-light-inspection = inspection under light
step-machine-polish = machine polish
step-residue-removal = residue removal
step-panel-wipe = panel wipe
step-rework = rework
step-high-spot-check = check for high spots
step-torque = wheel bolts tightened to torque
step-decontamination = decontamination
step-other = other work

# Services that many terms ask for: the word of the terms stands after `service-`, with hyphens for blanks.
service-inspection = inspection
service-annual-inspection = annual inspection
service-maintenance-wash = maintenance wash
service-first-wash = first wash
service-reconditioning = reconditioning
service-topper = topper
service-decontamination = decontamination
service-high-spot-look = look for high spots
service-leather-care = leather care
service-wheel-care = wheel care

# Lengths of time.
period-years = { $count ->
    [one] { $count } year
   *[other] { $count } years
}
period-months = { $count ->
    [one] { $count } month
   *[other] { $count } months
}
period-weeks = { $count ->
    [one] { $count } week
   *[other] { $count } weeks
}
period-days = { $count ->
    [one] { $count } day
   *[other] { $count } days
}
period-hours = { $count ->
    [one] { $count } hour
   *[other] { $count } hours
}
period-minutes = { $count ->
    [one] { $count } minute
   *[other] { $count } minutes
}

# Units: a blank that does not break stands before them.
unit-km = { $number } km
unit-mi = { $number } mi
unit-celsius = { $number } °C
unit-percent = { $number }%
unit-micrometres = { $number } µm

# Why cover is on hold or has ended: on the owner’s page, and in mails.
why-missed = { $services }: not done by { $day }.
why-missed-by-distance = { $services }: not done before the vehicle had run { $distance }.
why-breach = Entered for { $day }: { $what }.
why-good = It is in force again from the day on which this is done: { $services }.
why-expired = Its time is over.
why-distance = The distance that it covers has been driven.
why-transfer = What the terms ask for at a change of owner was not done.
why-closed = The vehicle has gone for good.
