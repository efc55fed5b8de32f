# Ce qui figure dans les calendriers.
calendar-name = Entretien de { $vehicle }
calendar-due = { $what } à faire : { $vehicle }
calendar-due-costs = Compte du { $opens } au { $closes } pour la garantie { $warranty }. En cas d’oubli, la couverture change comme le prévoient les conditions.
calendar-due-noted = Compte du { $opens } au { $closes } pour la garantie { $warranty }.
calendar-booked = Rendez-vous : { $vehicle }
