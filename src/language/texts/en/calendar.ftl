# What stands in calendars.
calendar-name = Upkeep of { $vehicle }
calendar-due = { $what } due: { $vehicle }
calendar-due-costs = Counts from { $opens } to { $closes } under warranty { $warranty }. If it is missed, cover changes: the terms say how.
calendar-due-noted = Counts from { $opens } to { $closes } under warranty { $warranty }.
calendar-booked = Appointment: { $vehicle }
