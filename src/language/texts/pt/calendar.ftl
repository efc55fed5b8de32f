# O que consta dos calendários.
calendar-name = Manutenção de { $vehicle }
calendar-due = { $what }, a fazer: { $vehicle }
calendar-due-costs = Conta de { $opens } a { $closes } para a garantia { $warranty }. Se não for feita, a cobertura muda conforme as condições.
calendar-due-noted = Conta de { $opens } a { $closes } para a garantia { $warranty }.
calendar-booked = Marcação: { $vehicle }
