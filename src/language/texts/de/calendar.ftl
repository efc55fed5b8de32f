# Was in Kalendern steht.
calendar-name = Pflege: { $vehicle }
calendar-due = { $what } fällig: { $vehicle }
calendar-due-costs = Zählt vom { $opens } bis zum { $closes } für die Garantie { $warranty }. Wird es versäumt, ändert sich der Schutz: Wie, sagen die Bedingungen.
calendar-due-noted = Zählt vom { $opens } bis zum { $closes } für die Garantie { $warranty }.
calendar-booked = Termin: { $vehicle }
