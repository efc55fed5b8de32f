# Pictures: what each is called. Labels are short, and get a capital where they stand.
drawing-climate = Klima während des Auftrags { $number }
drawing-cure = Aushärtung der Schichten, Auftrag { $number }
drawing-panels = Lackdicken beim Auftrag { $number }, Teil für Teil
drawing-cover = Garantie { $number } im Zeitverlauf

# Climate over a job.
drawing-coat = { $product } auf { $surface }
drawing-coat-panel = { $product } auf { $surface }, { $panel }
drawing-no-climate = Weder Klima noch Schichten wurden eingetragen.
drawing-temperature = Temperatur, °C
drawing-humidity = relative Luftfeuchte, %
drawing-dew-point = Taupunkt
drawing-coat-is-laid = Schicht wird aufgetragen
drawing-read-between = Gemessen vom { $from } bis { $until }.
drawing-surface-between = Teil { $least } bis { $most } °C.
drawing-dew-point-between = Taupunkt { $least } bis { $most } °C.
drawing-above-dew-point = Das Teil lag mindestens { $kelvin } K über dem Taupunkt.
drawing-no-surface = Die Temperatur der Teile wurde nicht gemessen.
drawing-coat-between = { $coat }: vom { $from } bis { $until }.

# Cure over time: milestones that every data sheet has, and what is told of them.
drawing-water-safe = wasserfest
drawing-wash-safe = waschfest
drawing-full-cure = ganz ausgehärtet
drawing-no-cure = Keine Schicht, deren Aushärtung bekannt ist.
drawing-by-calendar = kein Klima eingetragen: nur der Kalender zählt
drawing-equivalent-hours = äquivalente Stunden
drawing-too-cold = zu kalt: Aushärtung steht still
drawing-as-read = gemessen
drawing-as-expected = erwartet (geschätzt)
drawing-not-reached = noch nicht abzusehen
drawing-milestone = { $milestone }, { $hours } h
drawing-applied = { $coat }: aufgetragen am { $at }.
drawing-reached = { $milestone } nach { $hours } h, am { $at }.
drawing-not-reached-at = { $milestone } nach { $hours } h, nach heutigem Stand nicht erreicht.
drawing-stands-still = Die Aushärtung steht vom { $from } bis { $until } still.

# Cover over time.
drawing-window = Zeitraum einer Fälligkeit
drawing-cover-of = { $surface }: vom { $from } bis { $until }, { $state }.
drawing-hold = { $surface }: ruht vom { $since } bis { $until }.
drawing-hold-open = { $surface }: ruht seit { $since }.
drawing-due = { $due }: Stichtag { $day }, Zeitraum bis { $closes }, { $status }.

# The panels of a vehicle, and what was read of their paint.
drawing-values = Mittel der letzten Messungen, µm
drawing-front = vorn
drawing-rear = hinten
drawing-left = links
drawing-right = rechts
drawing-read = gemessen
drawing-plastic = Kunststoff
drawing-look-at-it = auffällig
drawing-not-read = nicht gemessen
drawing-nothing-read = Es wurde nichts gemessen.
drawing-removed = { $thickness } abgetragen
drawing-thin = dünn: nicht mehr polieren
drawing-thin-spot = an einer Stelle dünn: { $thickness }
drawing-likely-refinished = viel dicker als die anderen: wohl nachlackiert
drawing-much-removed-in-job = viel abgetragen bei diesem Auftrag
drawing-much-removed-in-life = viel abgetragen bei allen Aufträgen: { $thickness }
