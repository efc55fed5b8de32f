# Pictures: what each is called. Labels are short, and get a capital where they stand.
drawing-climate = Climate over job { $number }
drawing-cure = Cure of job { $number }
drawing-panels = Paint of job { $number }, panel by panel
drawing-cover = Cover of warranty { $number }

# Climate over a job.
drawing-coat = { $product } on { $surface }
drawing-coat-panel = { $product } on { $surface }, { $panel }
drawing-no-climate = Neither climate nor coats were entered.
drawing-temperature = temperature, °C
drawing-humidity = relative humidity, %
drawing-dew-point = dew point
drawing-coat-is-laid = a coat is laid
drawing-read-between = Read from { $from } to { $until }.
drawing-surface-between = Panel { $least } to { $most } °C.
drawing-dew-point-between = Dew point { $least } to { $most } °C.
drawing-above-dew-point = The panel was at least { $kelvin } K above the dew point.
drawing-no-surface = No temperature of a panel was read.
drawing-coat-between = { $coat }: from { $from } to { $until }.

# Cure over time: milestones that every data sheet has, and what is told of them.
drawing-water-safe = water-safe
drawing-wash-safe = wash-safe
drawing-full-cure = full cure
drawing-no-cure = No coat whose cure is known.
drawing-by-calendar = no climate was entered: only the calendar counts
drawing-equivalent-hours = equivalent hours
drawing-too-cold = too cold: cure stands still
drawing-as-read = as read
drawing-as-expected = as expected (an estimate)
drawing-not-reached = not with what is known
drawing-milestone = { $milestone }, { $hours } h
drawing-applied = { $coat }: applied on { $at }.
drawing-reached = { $milestone } at { $hours } h, on { $at }.
drawing-not-reached-at = { $milestone } at { $hours } h, not reached with what is known.
drawing-stands-still = Cure stands still from { $from } to { $until }.

# Cover over time.
drawing-window = window of a due
drawing-cover-of = { $surface }: { $from } to { $until }, { $state }.
drawing-hold = { $surface }: on hold from { $since } until { $until }.
drawing-hold-open = { $surface }: on hold since { $since }.
drawing-due = { $due }: due { $day }, closes { $closes }, { $status }.

# The panels of a vehicle, and what was read of their paint.
drawing-values = Mean of the latest readings, µm
drawing-front = front
drawing-rear = rear
drawing-left = left
drawing-right = right
drawing-read = read
drawing-plastic = plastic
drawing-look-at-it = look at it
drawing-not-read = not read
drawing-nothing-read = Nothing was read.
drawing-removed = { $thickness } removed
drawing-thin = thin: polish no more
drawing-thin-spot = thin at a spot: { $thickness }
drawing-likely-refinished = much thicker than the others: likely refinished
drawing-much-removed-in-job = much removed in this job
drawing-much-removed-in-life = much removed in all jobs: { $thickness }
