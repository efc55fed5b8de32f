# Surfaces: what a coating lies on, as within a sentence.
surface-paint = peinture
surface-glass = vitrages
surface-trim = plastiques extérieurs
surface-wheels = jantes
surface-headlights = phares
surface-film = film
surface-leather = cuir
surface-fabric = tissu
surface-soft-top = capote
surface-metal = métal

# Panels and parts.
panel-bonnet = capot
panel-roof = toit
panel-boot = coffre
panel-front-bumper = pare-chocs avant
panel-rear-bumper = pare-chocs arrière
panel-left-headlight = phare gauche
panel-right-headlight = phare droit
panel-left-sill = bas de caisse gauche
panel-right-sill = bas de caisse droit
panel-left-mirror = rétroviseur gauche
panel-right-mirror = rétroviseur droit
panel-windscreen = pare-brise
panel-rear-window = lunette arrière
panel-soft-top = capote
panel-cabin = habitacle
panel-front-left-door = porte avant gauche
panel-front-right-door = porte avant droite
panel-rear-left-door = porte arrière gauche
panel-rear-right-door = porte arrière droite
panel-front-left-wing = aile avant gauche
panel-front-right-wing = aile avant droite
panel-rear-left-wing = aile arrière gauche
panel-rear-right-wing = aile arrière droite
panel-front-left-wheel = roue avant gauche
panel-front-right-wheel = roue avant droite
panel-rear-left-wheel = roue arrière gauche
panel-rear-right-wheel = roue arrière droite
panel-front-left-window = vitre avant gauche
panel-front-right-window = vitre avant droite
panel-rear-left-window = vitre arrière gauche
panel-rear-right-window = vitre arrière droite

# Steps of work.
step-pre-rinse = prérinçage
step-film-removal = retrait du film de transport
step-label-removal = retrait des étiquettes
step-wheel-clean = nettoyage des jantes
step-tar-removal = dégoudronnage
step-fallout-removal = décontamination ferreuse
step-foam = application de mousse
step-contact-wash = lavage à la main
step-rinse = rinçage
step-dry = séchage
step-clay = décontamination à la gomme
step-glass-polish = polissage des vitres
step-masking = masquage
step-light-inspection = contrôle sous éclairage
step-machine-polish = polissage à la machine
step-residue-removal = élimination des résidus de polissage
step-panel-wipe = dégraissage
step-rework = reprise locale
step-high-spot-check = contrôle des traces de produit
step-torque = serrage des roues au couple
step-decontamination = décontamination
step-other = autres travaux

# Services that many terms ask for: the word of the terms stands after `service-`, with hyphens for blanks.
service-inspection = contrôle
service-annual-inspection = contrôle annuel
service-maintenance-wash = lavage d’entretien
service-first-wash = premier lavage
service-reconditioning = remise en état
service-topper = couche de renfort
service-decontamination = décontamination
service-high-spot-look = contrôle des traces de produit
service-leather-care = entretien du cuir
service-wheel-care = entretien des jantes

# Lengths of time.
period-years = { $count ->
    [one] { $count } an
   *[other] { $count } ans
}
period-months = { $count } mois
period-weeks = { $count ->
    [one] { $count } semaine
   *[other] { $count } semaines
}
period-days = { $count ->
    [one] { $count } jour
   *[other] { $count } jours
}
period-hours = { $count ->
    [one] { $count } heure
   *[other] { $count } heures
}
period-minutes = { $count ->
    [one] { $count } minute
   *[other] { $count } minutes
}

# Units: a blank that does not break stands before them.
unit-km = { $number } km
unit-mi = { $number } miles
unit-celsius = { $number } °C
unit-percent = { $number } %
unit-micrometres = { $number } µm

# Why cover is on hold or has ended: on the owner’s page, and in mails.
why-missed = { $services } : non fait au { $day }.
why-missed-by-distance = { $services } : non fait avant que le véhicule n’ait parcouru { $distance }.
why-breach = Noté pour le { $day } : { $what }.
why-good = Elle est de nouveau en vigueur à partir du jour où ceci est fait : { $services }.
why-expired = Sa durée est écoulée.
why-distance = La distance couverte a été parcourue.
why-transfer = Ce que les conditions demandent lors d’un changement de propriétaire n’a pas été fait.
why-closed = Le véhicule est définitivement sorti.
