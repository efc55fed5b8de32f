# Pictures: what each is called. Labels are short, and get a capital where they stand.
drawing-climate = Climat pendant l’intervention { $number }
drawing-cure = Durcissement après l’intervention { $number }
drawing-panels = Mesures de peinture de l’intervention { $number }, élément par élément
drawing-cover = Garantie { $number } dans le temps

# Climate over a job.
drawing-coat = { $product } sur { $surface }
drawing-coat-panel = { $product } sur { $surface }, { $panel }
drawing-no-climate = Ni climat ni couches n’ont été inscrits.
drawing-temperature = température, °C
drawing-humidity = humidité relative, %
drawing-dew-point = point de rosée
drawing-coat-is-laid = application d’une couche
drawing-read-between = Mesuré du { $from } au { $until }.
drawing-surface-between = Élément de { $least } à { $most } °C.
drawing-dew-point-between = Point de rosée de { $least } à { $most } °C.
drawing-above-dew-point = L’élément était à au moins { $kelvin } K au-dessus du point de rosée.
drawing-no-surface = La température des éléments n’a pas été mesurée.
drawing-coat-between = { $coat } : du { $from } au { $until }.

# Cure over time: milestones that every data sheet has, and what is told of them.
drawing-water-safe = résiste à l’eau
drawing-wash-safe = lavable
drawing-full-cure = durci à cœur
drawing-no-cure = Aucune couche dont le durcissement soit connu.
drawing-by-calendar = aucun climat inscrit : seul le calendrier compte
drawing-equivalent-hours = heures équivalentes
drawing-too-cold = trop froid : le durcissement s’arrête
drawing-as-read = d’après les mesures
drawing-as-expected = prévu (estimation)
drawing-not-reached = pas encore prévisible
drawing-milestone = { $milestone }, { $hours } h
drawing-applied = { $coat } : appliquée le { $at }.
drawing-reached = { $milestone } à { $hours } h, le { $at }.
drawing-not-reached-at = { $milestone } à { $hours } h, pas atteint d’après ce que l’on sait.
drawing-stands-still = Le durcissement s’arrête du { $from } au { $until }.

# Cover over time.
drawing-window = délai d’une échéance
drawing-cover-of = { $surface } : du { $from } au { $until }, { $state }.
drawing-hold = { $surface } : garantie suspendue du { $since } au { $until }.
drawing-hold-open = { $surface } : garantie suspendue depuis le { $since }.
drawing-due = { $due } : échéance le { $day }, délai jusqu’au { $closes }, { $status }.

# The panels of a vehicle, and what was read of their paint.
drawing-values = Moyenne des dernières mesures, µm
drawing-front = avant
drawing-rear = arrière
drawing-left = gauche
drawing-right = droite
drawing-read = mesuré
drawing-plastic = plastique
drawing-look-at-it = à vérifier
drawing-not-read = non mesuré
drawing-nothing-read = Rien n’a été mesuré.
drawing-removed = { $thickness } retirés
drawing-thin = peinture mince : ne plus polir
drawing-thin-spot = peinture mince en un point : { $thickness }
drawing-likely-refinished = bien plus épais que les autres : sans doute repeint
drawing-much-removed-in-job = beaucoup retiré lors de cette intervention
drawing-much-removed-in-life = beaucoup retiré, toutes interventions comprises : { $thickness }
