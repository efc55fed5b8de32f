# Surfaces: what a coating lies on, as within a sentence.
surface-paint = pintura
surface-glass = cristales
surface-trim = plásticos exteriores
surface-wheels = llantas
surface-headlights = faros
surface-film = lámina
surface-leather = cuero
surface-fabric = tejido
surface-soft-top = capota
surface-metal = metal

# Panels and parts.
panel-bonnet = capó
panel-roof = techo
panel-boot = tapa del maletero
panel-front-bumper = paragolpes delantero
panel-rear-bumper = paragolpes trasero
panel-left-headlight = faro izquierdo
panel-right-headlight = faro derecho
panel-left-sill = estribo izquierdo
panel-right-sill = estribo derecho
panel-left-mirror = retrovisor izquierdo
panel-right-mirror = retrovisor derecho
panel-windscreen = parabrisas
panel-rear-window = luneta trasera
panel-soft-top = capota
panel-cabin = habitáculo
panel-front-left-door = puerta delantera izquierda
panel-front-right-door = puerta delantera derecha
panel-rear-left-door = puerta trasera izquierda
panel-rear-right-door = puerta trasera derecha
panel-front-left-wing = aleta delantera izquierda
panel-front-right-wing = aleta delantera derecha
panel-rear-left-wing = aleta trasera izquierda
panel-rear-right-wing = aleta trasera derecha
panel-front-left-wheel = rueda delantera izquierda
panel-front-right-wheel = rueda delantera derecha
panel-rear-left-wheel = rueda trasera izquierda
panel-rear-right-wheel = rueda trasera derecha
panel-front-left-window = ventanilla delantera izquierda
panel-front-right-window = ventanilla delantera derecha
panel-rear-left-window = ventanilla trasera izquierda
panel-rear-right-window = ventanilla trasera derecha

# Steps of work.
step-pre-rinse = enjuague previo
step-film-removal = retirada del film de transporte
step-label-removal = retirada de etiquetas
step-wheel-clean = limpieza de llantas
step-tar-removal = eliminación de alquitrán
step-fallout-removal = descontaminación férrica
step-foam = aplicación de espuma
step-contact-wash = lavado a mano
step-rinse = aclarado
step-dry = secado
step-clay = descontaminación con arcilla
step-glass-polish = pulido de cristales
step-masking = enmascarado
step-light-inspection = inspección con luz
step-machine-polish = pulido a máquina
step-residue-removal = eliminación de restos de pulido
step-panel-wipe = desengrasado
step-rework = repaso de zonas
step-high-spot-check = revisión de excesos de producto
step-torque = apriete de las ruedas al par indicado
step-decontamination = descontaminación
step-other = otros trabajos

# Services that many terms ask for: the word of the terms stands after `service-`, with hyphens for blanks.
service-inspection = inspección
service-annual-inspection = inspección anual
service-maintenance-wash = lavado de mantenimiento
service-first-wash = primer lavado
service-reconditioning = reacondicionamiento
service-topper = capa de refuerzo
service-decontamination = descontaminación
service-high-spot-look = revisión de excesos de producto
service-leather-care = cuidado del cuero
service-wheel-care = cuidado de llantas

# Lengths of time.
period-years = { $count ->
    [one] { $count } año
   *[other] { $count } años
}
period-months = { $count ->
    [one] { $count } mes
   *[other] { $count } meses
}
period-weeks = { $count ->
    [one] { $count } semana
   *[other] { $count } semanas
}
period-days = { $count ->
    [one] { $count } día
   *[other] { $count } días
}
period-hours = { $count ->
    [one] { $count } hora
   *[other] { $count } horas
}
period-minutes = { $count ->
    [one] { $count } minuto
   *[other] { $count } minutos
}

# Units: a blank that does not break stands before them.
unit-km = { $number } km
unit-mi = { $number } millas
unit-celsius = { $number } °C
unit-percent = { $number } %
unit-micrometres = { $number } µm

# Why cover is on hold or has ended: on the owner’s page, and in mails.
why-missed = { $services }: no se hizo antes de acabar el { $day }.
why-missed-by-distance = { $services }: no se hizo antes de que el vehículo recorriera { $distance }.
why-breach = Anotado para el { $day }: { $what }.
why-good = Vuelve a estar en vigor desde el día en que se haga esto: { $services }.
why-expired = Su plazo ha terminado.
why-distance = Se ha recorrido la distancia cubierta.
why-transfer = No se hizo lo que las condiciones piden al cambiar de propietario.
why-closed = El vehículo ha causado baja definitiva.
