# Surfaces: what a coating lies on, as within a sentence.
surface-paint = Lack
surface-glass = Scheiben
surface-trim = Kunststoffteile
surface-wheels = Felgen
surface-headlights = Scheinwerfer
surface-film = Folie
surface-leather = Leder
surface-fabric = Stoff
surface-soft-top = Verdeck
surface-metal = Metall

# Panels and parts.
panel-bonnet = Motorhaube
panel-roof = Dach
panel-boot = Heckklappe
panel-front-bumper = Stoßfänger vorn
panel-rear-bumper = Stoßfänger hinten
panel-left-headlight = Scheinwerfer links
panel-right-headlight = Scheinwerfer rechts
panel-left-sill = Schweller links
panel-right-sill = Schweller rechts
panel-left-mirror = Außenspiegel links
panel-right-mirror = Außenspiegel rechts
panel-windscreen = Windschutzscheibe
panel-rear-window = Heckscheibe
panel-soft-top = Verdeck
panel-cabin = Innenraum
panel-front-left-door = Tür vorn links
panel-front-right-door = Tür vorn rechts
panel-rear-left-door = Tür hinten links
panel-rear-right-door = Tür hinten rechts
panel-front-left-wing = Kotflügel vorn links
panel-front-right-wing = Kotflügel vorn rechts
panel-rear-left-wing = Seitenteil hinten links
panel-rear-right-wing = Seitenteil hinten rechts
panel-front-left-wheel = Rad vorn links
panel-front-right-wheel = Rad vorn rechts
panel-rear-left-wheel = Rad hinten links
panel-rear-right-wheel = Rad hinten rechts
panel-front-left-window = Seitenscheibe vorn links
panel-front-right-window = Seitenscheibe vorn rechts
panel-rear-left-window = Seitenscheibe hinten links
panel-rear-right-window = Seitenscheibe hinten rechts

# Steps of work.
step-pre-rinse = Vorspülen
step-film-removal = Entfernen der Transportfolie
step-label-removal = Entfernen von Etiketten
step-wheel-clean = Felgenreinigung
step-tar-removal = Teerentfernung
step-fallout-removal = Flugrostentfernung
step-foam = Einschäumen
step-contact-wash = Handwäsche
step-rinse = Abspülen
step-dry = Trocknen
step-clay = Behandlung mit Reinigungsknete
step-glass-polish = Scheibenpolitur
step-masking = Abkleben
step-light-inspection = Prüfung unter Licht
step-machine-polish = Maschinenpolitur
step-residue-removal = Entfernen der Polierrückstände
step-panel-wipe = Entfetten
step-rework = Nacharbeit
step-high-spot-check = Kontrolle auf Schlieren
step-torque = Anziehen der Radschrauben mit Drehmoment
step-decontamination = Dekontamination
step-other = sonstige Arbeiten

# Services that many terms ask for: the word of the terms stands after `service-`, with hyphens for blanks.
service-inspection = Inspektion
service-annual-inspection = jährliche Inspektion
service-maintenance-wash = Pflegewäsche
service-first-wash = erste Wäsche
service-reconditioning = Aufbereitung
service-topper = Auffrischung mit Topper
service-decontamination = Dekontamination
service-high-spot-look = Kontrolle auf Schlieren
service-leather-care = Lederpflege
service-wheel-care = Felgenpflege

# Lengths of time.
period-years = { $count ->
    [one] { $count } Jahr
   *[other] { $count } Jahre
}
period-months = { $count ->
    [one] { $count } Monat
   *[other] { $count } Monate
}
period-weeks = { $count ->
    [one] { $count } Woche
   *[other] { $count } Wochen
}
period-days = { $count ->
    [one] { $count } Tag
   *[other] { $count } Tage
}
period-hours = { $count ->
    [one] { $count } Stunde
   *[other] { $count } Stunden
}
period-minutes = { $count ->
    [one] { $count } Minute
   *[other] { $count } Minuten
}

# Units: a blank that does not break stands before them.
unit-km = { $number } km
unit-mi = { $number } Meilen
unit-celsius = { $number } °C
unit-percent = { $number } %
unit-micrometres = { $number } µm

# Why cover is on hold or has ended: on the owner’s page, and in mails.
why-missed = { $services }: bis { $day } nicht erfolgt.
why-missed-by-distance = { $services }: nicht erfolgt, bevor das Fahrzeug { $distance } gelaufen war.
why-breach = Eingetragen für den { $day }: { $what }.
why-good = Der Schutz gilt ab dem Tag wieder, an dem dies erledigt ist: { $services }.
why-expired = Die Laufzeit ist vorbei.
why-distance = Die abgedeckte Fahrstrecke ist erreicht.
why-transfer = Was die Bedingungen beim Besitzerwechsel verlangen, ist nicht erfolgt.
why-closed = Das Fahrzeug ist endgültig ausgeschieden.
