# Pictures: what each is called. Labels are short, and get a capital where they stand.
drawing-climate = Clima durante o trabalho { $number }
drawing-cure = Cura do trabalho { $number }
drawing-panels = Medições de pintura do trabalho { $number }, peça a peça
drawing-cover = Garantia { $number } ao longo do tempo

# Climate over a job.
drawing-coat = { $product } sobre { $surface }
drawing-coat-panel = { $product } sobre { $surface }, { $panel }
drawing-no-climate = Não foram registados nem o clima nem as camadas.
drawing-temperature = temperatura, °C
drawing-humidity = humidade relativa, %
drawing-dew-point = ponto de orvalho
drawing-coat-is-laid = aplicação de uma camada
drawing-read-between = Medido de { $from } a { $until }.
drawing-surface-between = Peça de { $least } a { $most } °C.
drawing-dew-point-between = Ponto de orvalho de { $least } a { $most } °C.
drawing-above-dew-point = A peça esteve pelo menos { $kelvin } K acima do ponto de orvalho.
drawing-no-surface = Não foi medida a temperatura de nenhuma peça.
drawing-coat-between = { $coat }: de { $from } a { $until }.

# Cure over time: milestones that every data sheet has, and what is told of them.
drawing-water-safe = resiste à água
drawing-wash-safe = lavável
drawing-full-cure = cura completa
drawing-no-cure = Não há nenhuma camada cuja cura se conheça.
drawing-by-calendar = sem clima registado: só conta o calendário
drawing-equivalent-hours = horas equivalentes
drawing-too-cold = demasiado frio: a cura não avança
drawing-as-read = pelas medições
drawing-as-expected = previsto (estimativa)
drawing-not-reached = ainda sem data previsível
drawing-milestone = { $milestone }, { $hours } h
drawing-applied = { $coat }: aplicada em { $at }.
drawing-reached = { $milestone } com { $hours } h, em { $at }.
drawing-not-reached-at = { $milestone } com { $hours } h, não se atinge com o que se sabe.
drawing-stands-still = A cura não avança de { $from } a { $until }.

# Cover over time.
drawing-window = prazo de uma data prevista
drawing-cover-of = { $surface }: de { $from } a { $until }, { $state }.
drawing-hold = { $surface }: garantia suspensa desde { $since } até { $until }.
drawing-hold-open = { $surface }: garantia suspensa desde { $since }.
drawing-due = { $due }: data prevista { $day }, prazo até { $closes }, { $status }.

# The panels of a vehicle, and what was read of their paint.
drawing-values = Média das últimas medições, µm
drawing-front = frente
drawing-rear = traseira
drawing-left = esquerda
drawing-right = direita
drawing-read = medido
drawing-plastic = plástico
drawing-look-at-it = a verificar
drawing-not-read = não medido
drawing-nothing-read = Não foi medido nada.
drawing-removed = { $thickness } removidos
drawing-thin = pintura fina: não polir mais
drawing-thin-spot = pintura fina num ponto: { $thickness }
drawing-likely-refinished = muito mais espessa do que as outras: provavelmente repintada
drawing-much-removed-in-job = muito removido neste trabalho
drawing-much-removed-in-life = muito removido em todos os trabalhos: { $thickness }
