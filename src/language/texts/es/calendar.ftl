# Lo que figura en los calendarios.
calendar-name = Mantenimiento de { $vehicle }
calendar-due = { $what }, vence: { $vehicle }
calendar-due-costs = Cuenta del { $opens } al { $closes } para la garantía { $warranty }. Si no se hace, la cobertura cambia según las condiciones.
calendar-due-noted = Cuenta del { $opens } al { $closes } para la garantía { $warranty }.
calendar-booked = Cita: { $vehicle }
