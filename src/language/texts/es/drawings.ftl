# Pictures: what each is called. Labels are short, and get a capital where they stand.
drawing-climate = Clima durante el trabajo { $number }
drawing-cure = Curado del trabajo { $number }
drawing-panels = Mediciones de pintura del trabajo { $number }, pieza por pieza
drawing-cover = Garantía { $number } en el tiempo

# Climate over a job.
drawing-coat = { $product } sobre { $surface }
drawing-coat-panel = { $product } sobre { $surface }, { $panel }
drawing-no-climate = No se anotaron ni el clima ni las capas.
drawing-temperature = temperatura, °C
drawing-humidity = humedad relativa, %
drawing-dew-point = punto de rocío
drawing-coat-is-laid = aplicación de una capa
drawing-read-between = Medido desde el { $from } hasta el { $until }.
drawing-surface-between = Pieza de { $least } a { $most } °C.
drawing-dew-point-between = Punto de rocío de { $least } a { $most } °C.
drawing-above-dew-point = La pieza estuvo al menos { $kelvin } K por encima del punto de rocío.
drawing-no-surface = No se midió la temperatura de ninguna pieza.
drawing-coat-between = { $coat }: desde el { $from } hasta el { $until }.

# Cure over time: milestones that every data sheet has, and what is told of them.
drawing-water-safe = resiste al agua
drawing-wash-safe = lavable
drawing-full-cure = curado completo
drawing-no-cure = No hay ninguna capa cuyo curado se conozca.
drawing-by-calendar = sin clima anotado: solo cuenta el calendario
drawing-equivalent-hours = horas equivalentes
drawing-too-cold = demasiado frío: el curado se detiene
drawing-as-read = según lo medido
drawing-as-expected = previsto (estimación)
drawing-not-reached = aún sin fecha previsible
drawing-milestone = { $milestone }, { $hours } h
drawing-applied = { $coat }: aplicada el { $at }.
drawing-reached = { $milestone } con { $hours } h, el { $at }.
drawing-not-reached-at = { $milestone } con { $hours } h, no se alcanza con lo que se sabe.
drawing-stands-still = El curado se detiene desde el { $from } hasta el { $until }.

# Cover over time.
drawing-window = plazo de un vencimiento
drawing-cover-of = { $surface }: del { $from } al { $until }, { $state }.
drawing-hold = { $surface }: garantía en suspenso desde el { $since } hasta el { $until }.
drawing-hold-open = { $surface }: garantía en suspenso desde el { $since }.
drawing-due = { $due }: fecha prevista { $day }, plazo hasta el { $closes }, { $status }.

# The panels of a vehicle, and what was read of their paint.
drawing-values = Media de las últimas mediciones, µm
drawing-front = delante
drawing-rear = detrás
drawing-left = izquierda
drawing-right = derecha
drawing-read = medido
drawing-plastic = plástico
drawing-look-at-it = revisar
drawing-not-read = sin medir
drawing-nothing-read = No se midió nada.
drawing-removed = { $thickness } retirados
drawing-thin = pintura fina: no pulir más
drawing-thin-spot = pintura fina en un punto: { $thickness }
drawing-likely-refinished = mucho más gruesa que las demás: probablemente repintada
drawing-much-removed-in-job = se retiró mucho en este trabajo
drawing-much-removed-in-life = se retiró mucho entre todos los trabajos: { $thickness }
