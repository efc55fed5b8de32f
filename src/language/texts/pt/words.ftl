# Surfaces: what a coating lies on, as within a sentence.
surface-paint = pintura
surface-glass = vidros
surface-trim = plásticos exteriores
surface-wheels = jantes
surface-headlights = faróis
surface-film = película
surface-leather = couro
surface-fabric = tecido
surface-soft-top = capota
surface-metal = metal

# Panels and parts.
panel-bonnet = capô
panel-roof = tejadilho
panel-boot = tampa da bagageira
panel-front-bumper = para-choques dianteiro
panel-rear-bumper = para-choques traseiro
panel-left-headlight = farol esquerdo
panel-right-headlight = farol direito
panel-left-sill = embaladeira esquerda
panel-right-sill = embaladeira direita
panel-left-mirror = retrovisor esquerdo
panel-right-mirror = retrovisor direito
panel-windscreen = para-brisas
panel-rear-window = óculo traseiro
panel-soft-top = capota
panel-cabin = habitáculo
panel-front-left-door = porta dianteira esquerda
panel-front-right-door = porta dianteira direita
panel-rear-left-door = porta traseira esquerda
panel-rear-right-door = porta traseira direita
panel-front-left-wing = guarda-lamas dianteiro esquerdo
panel-front-right-wing = guarda-lamas dianteiro direito
panel-rear-left-wing = guarda-lamas traseiro esquerdo
panel-rear-right-wing = guarda-lamas traseiro direito
panel-front-left-wheel = roda dianteira esquerda
panel-front-right-wheel = roda dianteira direita
panel-rear-left-wheel = roda traseira esquerda
panel-rear-right-wheel = roda traseira direita
panel-front-left-window = vidro dianteiro esquerdo
panel-front-right-window = vidro dianteiro direito
panel-rear-left-window = vidro traseiro esquerdo
panel-rear-right-window = vidro traseiro direito

# Steps of work.
step-pre-rinse = pré-enxaguamento
step-film-removal = remoção da película de transporte
step-label-removal = remoção de etiquetas
step-wheel-clean = limpeza das jantes
step-tar-removal = remoção de alcatrão
step-fallout-removal = descontaminação férrica
step-foam = aplicação de espuma
step-contact-wash = lavagem à mão
step-rinse = enxaguamento
step-dry = secagem
step-clay = descontaminação com argila
step-glass-polish = polimento dos vidros
step-masking = proteção com fita
step-light-inspection = inspeção com luz
step-machine-polish = polimento à máquina
step-residue-removal = remoção de resíduos de polimento
step-panel-wipe = desengorduramento
step-rework = retoque localizado
step-high-spot-check = verificação de excessos de produto
step-torque = aperto das rodas ao binário indicado
step-decontamination = descontaminação
step-other = outros trabalhos

# Services that many terms ask for: the word of the terms stands after `service-`, with hyphens for blanks.
service-inspection = inspeção
service-annual-inspection = inspeção anual
service-maintenance-wash = lavagem de manutenção
service-first-wash = primeira lavagem
service-reconditioning = recondicionamento
service-topper = camada de reforço
service-decontamination = descontaminação
service-high-spot-look = verificação de excessos de produto
service-leather-care = tratamento do couro
service-wheel-care = tratamento das jantes

# Lengths of time.
period-years = { $count ->
    [one] { $count } ano
   *[other] { $count } anos
}
period-months = { $count ->
    [one] { $count } mês
   *[other] { $count } meses
}
period-weeks = { $count ->
    [one] { $count } semana
   *[other] { $count } semanas
}
period-days = { $count ->
    [one] { $count } dia
   *[other] { $count } dias
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
unit-mi = { $number } milhas
unit-celsius = { $number } °C
unit-percent = { $number }%
unit-micrometres = { $number } µm

# Why cover is on hold or has ended: on the owner’s page, and in mails.
why-missed = { $services }: não foi feito até { $day }.
why-missed-by-distance = { $services }: não foi feito antes de o veículo ter percorrido { $distance }.
why-breach = Registado para { $day }: { $what }.
why-good = Volta a estar em vigor a partir do dia em que isto for feito: { $services }.
why-expired = O prazo terminou.
why-distance = A distância coberta foi percorrida.
why-transfer = O que as condições pedem numa mudança de proprietário não foi feito.
why-closed = O veículo saiu definitivamente.
