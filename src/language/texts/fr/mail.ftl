# Ce que disent les messages aux propriétaires. Un objet dit : véhicule, quoi, date.
mail-subject-more = { $count ->
    [one] { $subject } (et un autre avis)
   *[other] { $subject } (et { $count } autres avis)
}
mail-subject-drill = [Exercice] { $subject }
mail-drill = Ce message fait partie d’un exercice. Rien de ce qu’il contient n’est réel.
mail-greeting = Bonjour { $name },
mail-regards = Cordialement,
mail-reach = { $what ->
    [day] Pour fixer un rendez-vous, répondez à ce message.
    [booking] Si le rendez-vous ne vous convient plus, répondez à ce message.
   *[question] Si vous avez une question, répondez à ce message.
}
mail-reach-by-phone = { $what ->
    [day] Pour fixer un rendez-vous, répondez à ce message ou appelez-nous : { $phone }.
    [booking] Si le rendez-vous ne vous convient plus, répondez à ce message ou appelez-nous : { $phone }.
   *[question] Si vous avez une question, répondez à ce message ou appelez-nous : { $phone }.
}
mail-no-upkeep = Ne plus recevoir de messages sur l’entretien
mail-no-history = Ne plus recevoir de messages sur les travaux réalisés
# L’objet du message qui met fin à ces messages ; l’atelier le lit.
mail-unsubscribe = Je ne souhaite plus recevoir ces messages
mail-consumer-law = Le droit de la consommation prévaut sur ces conditions : rien de ce qu’elles disent ne vous retire un droit qu’il vous donne.

# Comment les indications et les liens figurent en texte brut.
mail-fact = { $name } : { $value }
mail-link = { $label } :

# Ce que fait un lien, comme invitation.
mail-do-book = Prendre rendez-vous
mail-do-change-booking = Déplacer ou annuler le rendez-vous
mail-do-open-page = Ouvrir la page de votre véhicule
mail-do-confirm-transfer = Confirmer le nouveau propriétaire
mail-do-report-claim = Signaler le problème

# Noms des indications.
mail-fact-what = Prestation
mail-fact-due = Échéance
mail-fact-from = Au plus tôt le
mail-fact-until = Au plus tard le
mail-fact-distance = Et au plus tard à
mail-fact-terms = Conditions
mail-fact-day = Rendez-vous
mail-fact-place = Lieu
mail-fact-keep-dry = À garder au sec jusqu’au
mail-fact-first-wash = Premier lavage à partir du
mail-fact-full-cure = Durcissement complet le
mail-clause = « { $title } », { $clause }
mail-by-terms = Conditions { $clause }

# Une échéance approche.
mail-upcoming-subject = { $vehicle } : { $services }, échéance le { $date }
mail-upcoming-keeps = C’est ce qui maintient la garantie sur : { $surfaces }.
mail-who = { $by ->
    [accredited] Un atelier agréé doit s’en charger.
    [shop] Un atelier doit s’en charger.
   *[owner] Vous pouvez le faire vous-même ou le confier à un atelier.
}
mail-if-missed-note = Si cela n’est pas fait, c’est noté et votre garantie ne change pas.
mail-if-missed-end = Si cela n’est pas fait, la garantie prend fin sur : { $surfaces }.
mail-if-missed-shorten = Si cela n’est pas fait, la garantie ({ $surfaces }) est raccourcie de { $period }.
mail-if-missed-suspend = { $by ->
    [accredited] Si cela n’est pas fait, la garantie ({ $surfaces }) est suspendue jusqu’à ce qu’un atelier agréé ait réalisé ceci : { $with }.
    [shop] Si cela n’est pas fait, la garantie ({ $surfaces }) est suspendue jusqu’à ce qu’un atelier ait réalisé ceci : { $with }.
   *[owner] Si cela n’est pas fait, la garantie ({ $surfaces }) est suspendue jusqu’à ce que ceci soit réalisé : { $with }.
}
mail-if-missed-suspend-within = Le délai pour cela est de { $period } ; passé ce délai, la garantie prend fin.

# Le délai se termine bientôt.
mail-last-call-subject = { $vehicle } : dernier rappel, { $services } avant la fin du { $date }
mail-last-call-open = Rien n’est encore enregistré chez nous pour cette période ({ $services }). Le dernier jour possible est le { $closes }.

# Une échéance est passée.
mail-missed-subject = { $vehicle } : { $services }, délai dépassé depuis le { $date }
mail-missed-by-day = Nous n’avons pas trace que ceci ait été fait au plus tard le { $closes } : { $services }. Le délai est considéré comme dépassé depuis le { $since }.
mail-missed-by-distance = Nous n’avons pas trace que ceci ait été fait avant que le véhicule ait parcouru { $distance } : { $services }. Le délai est considéré comme dépassé depuis le { $since }.
mail-cost-note = C’est noté. Votre garantie ne change pas.
mail-cost-end = Avec cela, la garantie a pris fin sur : { $surfaces }.
mail-cost-shorten = La garantie ({ $surfaces }) prend fin plus tôt que prévu ; elle est raccourcie de { $period }.
mail-cost-suspend = { $by ->
    [accredited] La garantie ({ $surfaces }) est suspendue depuis le { $since }. Elle est de nouveau en vigueur le jour où un atelier agréé réalise ceci : { $with }.
    [shop] La garantie ({ $surfaces }) est suspendue depuis le { $since }. Elle est de nouveau en vigueur le jour où un atelier réalise ceci : { $with }.
   *[owner] La garantie ({ $surfaces }) est suspendue depuis le { $since }. Elle est de nouveau en vigueur le jour où ceci est réalisé : { $with }.
}
mail-cost-suspend-until = Le dernier jour pour cela est le { $until } ; après, la garantie prend fin définitivement.
mail-missed-if-done = Si cela a été fait à temps sans que nous le sachions, envoyez-nous la facture : nous corrigerons.

# Un rendez-vous est pris.
mail-booked-subject = { $vehicle } : rendez-vous le { $date }
mail-booked-again-subject = { $vehicle } : nous vous attendons le { $date }
mail-booked = Votre rendez-vous est enregistré.
mail-booked-again = Nous vous rappelons votre rendez-vous.
mail-booked-calendar = Un fichier d’agenda est joint à ce message : ouvrez-le pour inscrire le rendez-vous dans votre agenda.

# Ce qui a été fait.
mail-record-handover-subject = { $vehicle } : ce que nous avons fait, { $date }
mail-record-warranty-subject = { $vehicle } : ce que nous avons fait et votre garantie, { $date }
mail-record-visit-subject = { $vehicle } : ce que nous avons fait lors de votre visite, { $date }
mail-record-elsewhere-subject = { $vehicle } : fait ailleurs et désormais enregistré, { $date }
mail-done-step = { $step } avec { $product }
mail-done-coat = { $product } sur { $place }, lot { $batch }
mail-done-by-owner = { $service }, par vous-même
mail-done-by = { $service }, par { $name }
mail-done-not = { $service } (n’a pas pu être fait)
mail-place = { $surface } ({ $panels })
mail-covered = Ce qui est couvert :
mail-covered-by = Ce que couvre la garantie { $warranty } :
mail-cover-until = { $hold ->
    [yes] suspendue ; jusqu’au { $date }
   *[no] jusqu’au { $date }
}
mail-cover-until-or = { $hold ->
    [yes] suspendue ; jusqu’au { $date } ou { $distance } depuis le début, au premier des deux termes atteint
   *[no] jusqu’au { $date } ou { $distance } depuis le début, au premier des deux termes atteint
}
mail-next = Les prochaines échéances :
mail-next-line = { $services } : échéance le { $due }, au plus tôt le { $opens }, au plus tard le { $closes }
mail-certificate = Le certificat de cette garantie est joint à ce message, en PDF.
mail-verify = Chacun peut vérifier cette garantie ici
mail-history = Tout ce qui a été fait sur votre véhicule, en PDF
mail-sheets = Les fiches de données de sécurité de ce qui a été utilisé ({ $products }) sont à votre disposition : répondez à ce message.

# Les premiers jours. Ce qu’il faut faire et ne jamais faire relève de l’usage du métier, non d’une fiche technique.
mail-aftercare-subject = { $vehicle } : soins des premiers jours, à partir du { $date }
mail-aftercare = Le revêtement de votre véhicule durcit encore. Ce qui compte ces jours-ci :
mail-ask-us-first = demandez-nous d’abord
mail-aftercare-until-then = Jusqu’à ce qu’il ait durci :
mail-aftercare-dry = Gardez-le au sec et, si possible, à l’abri. S’il est mouillé malgré tout, absorbez l’eau avec un chiffon propre et doux, en tamponnant sans frotter.
mail-aftercare-droppings = Enlevez vite fientes d’oiseaux, insectes et résine : ramollissez-les avec un chiffon doux mouillé et soulevez-les sans frotter.
mail-aftercare-no-brushes = Pas de lavage automatique à brosses, ni maintenant ni plus tard.
mail-aftercare-no-heat = Ne lavez et n’essuyez jamais une surface chaude, ni en plein soleil.
mail-aftercare-no-polish = Ni cire, ni polish, ni aucun autre produit sur le revêtement sans nous demander.
mail-aftercare-estimates = Ces jours sont des estimations, d’après les fiches techniques des produits et ce que nous savons de la météo. Si une fiche technique ou de données de sécurité dit autre chose, elle prévaut sur ce message.

# Le premier lavage est possible. La façon de laver relève de l’usage du métier.
mail-wash-from-subject = { $vehicle } : vous pouvez le laver à partir du { $date }
mail-wash-from = Le revêtement posé avant la remise du { $handed-over } a suffisamment durci : vous pouvez laver votre véhicule à partir du { $from }.
mail-wash-how = Pour qu’il reste tel quel, lavez-le en douceur :
mail-wash-cool = À l’ombre, sur une surface froide.
mail-wash-rinse = Rincez d’abord à grande eau, pour que les saletés partent avant que vous touchiez la peinture.
mail-wash-buckets = Deux seaux : l’un avec un shampooing au pH neutre, l’autre avec de l’eau claire pour rincer le gant. Un gant doux, pas d’éponge, de haut en bas.
mail-wash-wheels = Les roues en dernier, avec un chiffon ou une brosse à part.
mail-wash-dry = Séchez avec une microfibre douce et propre.
mail-wash-no-brushes = Pas de lavage automatique à brosses, pas d’éponge de cuisine, pas de nettoyant agressif.
mail-care-sheets-above = C’est l’usage du métier. Si la fiche technique ou de données de sécurité d’un produit dit autre chose, elle prévaut sur ce message.

# Un coup d’œil après les premières semaines.
mail-first-look-subject = { $vehicle } : un coup d’œil après les premières semaines, remis le { $date }
mail-first-look = Nous vous avons remis votre véhicule le { $handed-over }. Les premières semaines montrent si le revêtement est régulier partout : là où il y en a trop, des taches sombres ou irisées apparaissent en lumière rasante.
mail-first-look-bring = Passez pour un bref contrôle sous nos lampes. Plus tôt une telle tache est trouvée, plus elle est facile à corriger.

# Avant l’hiver. Usage du métier.
mail-winter-subject = { $vehicle } : soins avant l’hiver, { $date }
mail-winter = Avant l’arrivée du sel, quelques gestes qui aident le revêtement à passer l’hiver :
mail-winter-salt = Rincez souvent le sel et la saleté de la route, d’abord sur les bas de caisse, les passages de roue et les roues.
mail-winter-frost = Ne lavez qu’au-dessus de zéro degré, et séchez ensuite les joints de portes.
mail-winter-ice = Ne grattez pas la glace sur la peinture et ne poussez pas la neige avec une arête dure : laissez fondre, ou prenez une brosse douce pour la neige légère.
mail-winter-hot-water = Jamais d’eau chaude sur des vitres ou une peinture gelées.

# Au printemps. Usage du métier.
mail-spring-subject = { $vehicle } : soins de printemps, { $date }
mail-spring = L’hiver est passé : quelques gestes qui rendent au revêtement son meilleur état :
mail-spring-wash = Lavez-le une fois à fond, à grande eau avant d’y toucher, pour que le sel et le sable partent.
mail-spring-wheels = Nettoyez les roues et les passages de roue, où poussière de frein et sel se sont accumulés.
mail-spring-pollen = Rincez le pollen et la résine, ne les essuyez pas à sec.
mail-spring-look = Regardez si l’eau s’écoule encore partout comme avant. Sinon, dites-le-nous avant d’appliquer quoi que ce soit.

# La garantie arrive à son terme.
mail-ending-subject = { $vehicle } : la garantie ({ $surfaces }) prend fin le { $date }
mail-ending = La garantie { $warranty } arrive à son terme pour :
mail-ending-still = Reste couvert ensuite :
mail-ending-nothing-left = Ensuite, elle ne couvre plus rien.

# La garantie a changé.
mail-transferred-subject = { $vehicle } : nouveau propriétaire, depuis le { $date }
mail-transferred = Depuis le { $date }, le véhicule est enregistré au nom de son nouveau propriétaire. La garantie { $warranty } le suit.
mail-transferred-ends = Depuis le { $date }, le véhicule est enregistré au nom de son nouveau propriétaire. Selon ses conditions, la garantie { $warranty } a pris fin avec cela.
mail-panel-out-subject = { $vehicle } : n’est plus couvert : { $panel }, depuis le { $date }
mail-panel-out = Depuis le { $date }, la garantie { $warranty } ne couvre plus ceci, réparé ou repeint : { $place }. Si vous souhaitez un nouveau revêtement, demandez-nous si les conditions permettent de le couvrir à nouveau.
mail-panel-back-subject = { $vehicle } : de nouveau couvert : { $panel }, depuis le { $date }
mail-panel-back = Depuis le { $date }, la garantie { $warranty } couvre à nouveau ceci, qui a reçu un nouveau revêtement : { $place }.
mail-on-hold-subject = { $vehicle } : garantie suspendue ({ $surfaces }), depuis le { $date }
mail-on-hold = Depuis le { $date }, la garantie { $warranty } est suspendue sur : { $surfaces }.
mail-on-hold-ask = Demandez-nous ce qui la remet en vigueur.
mail-back-in-force-subject = { $vehicle } : garantie de nouveau en vigueur ({ $surfaces }), depuis le { $date }
mail-back-in-force = Depuis le { $date }, la garantie { $warranty } est de nouveau en vigueur sur : { $surfaces }.
mail-back-in-force-by = Ce qui l’a remise en vigueur : { $service }.
mail-ended-subject = { $vehicle } : garantie terminée ({ $surfaces }), { $date }
mail-ended = Le { $date }, la garantie { $warranty } a pris fin sur : { $surfaces }.
mail-recalled-subject = { $vehicle } : rappel de { $product }, { $date }
mail-recalled = Le { $date }, le lot { $batch } de { $product } a été rappelé. Sur votre véhicule, il se trouve sur : { $panels }.
mail-recalled-what-now = Contactez-nous : nous regarderons cela ensemble et vous dirons ce qu’il y a à faire.

# Un lien demandé.
mail-link-transfer-subject = { $vehicle } : confirmer le nouveau propriétaire
mail-link-claim-subject = { $vehicle } : signaler un problème
mail-link-transfer = Vous avez demandé un lien pour nous signaler que le véhicule a un nouveau propriétaire. Rien ne change tant que vous ne l’avez pas confirmé sur cette page.
mail-link-claim = Vous avez demandé un lien pour signaler un problème couvert par la garantie. Rien ne nous est envoyé tant que vous ne l’avez pas confirmé sur cette page.
mail-link-good-for = Le lien sert une seule fois, pendant { $minutes } à compter de la demande.
mail-link-not-asked = Si vous ne l’avez pas demandé, vous n’avez rien à faire.
