# On every document.
paper-page = Page { $page } sur { $pages }
paper-vehicle = Véhicule
paper-vin = N° de série (VIN)
paper-plate = Immatriculation
paper-odometer = Compteur
paper-job = Intervention
paper-surface = Surface
paper-address = Adresse
paper-phone = Téléphone
paper-email = Adresse électronique
paper-record = Numéro au registre
paper-digest = Son SHA-256

# What terms ask for.
terms-by-owner = n’importe qui, vous aussi
terms-by-shop = tout atelier spécialisé
terms-by-accredited = un atelier agréé par { $issuer }
terms-when = Quand
terms-first = Première fois
terms-window = Délai
terms-who = Par qui
terms-surfaces = Pour
terms-missed = En cas d’oubli
terms-once = Une seule fois
terms-every-start = Intervalle de { $period }, à compter du début de la garantie
terms-every-last = Intervalle de { $period }, à compter de la dernière fois
terms-or-distance = { $when }, ou après { $distance }, selon ce qui arrive en premier
terms-window-early = De { $early } avant l’échéance jusqu’à l’échéance
terms-window-late = Jusqu’à { $late } après l’échéance
terms-window-both = De { $early } avant l’échéance à { $late } après
terms-miss = Oubli n° { $number } : { $what }
terms-miss-on = Oubli n° { $number } et suivants : { $what }
terms-note = C’est noté. La garantie reste inchangée.
terms-end = La garantie prend fin.
terms-shorten = La garantie prend fin { $period } plus tôt.
terms-suspend = La garantie est suspendue jusqu’à régularisation par : { $services }. Peut s’en charger : { $by }.
terms-suspend-within = La garantie est suspendue. Elle reprend si la régularisation a lieu dans un délai de { $period } par : { $services } ; peut s’en charger : { $by }. Sinon, elle prend fin.
terms-breach = { $key } : { $what }
terms-breach-on = { $key } ({ $surfaces }) : { $what }
terms-transfer-free = La garantie suit le véhicule, quel que soit le nombre de propriétaires. Il n’y a rien à faire pour cela.
terms-transfer-none = Seul le premier propriétaire est couvert. La garantie prend fin à la vente du véhicule.
terms-transfer-any = La garantie suit le véhicule, quel que soit le nombre de propriétaires.
terms-transfer-owners = La garantie suit le véhicule, pour { $owners } propriétaires au total, le premier compris.
terms-transfer-tell = Signalez la vente à l’atelier dans un délai de { $period }.
terms-transfer-inspect = Faites inspecter le véhicule dans un délai de { $period } après la vente. Peut s’en charger : { $by }.
terms-repair = Un élément réparé ou repeint n’est plus couvert à partir de ce jour, jusqu’à ce qu’il soit de nouveau traité.
terms-repair-within = Un élément réparé ou repeint n’est plus couvert à partir de ce jour. Il l’est de nouveau s’il est retraité dans un délai de { $period }.
terms-repair-never = Un élément réparé ou repeint n’est plus couvert à partir de ce jour.

# The certificate of a warranty.
certificate-kind = Certificat de garantie
certificate-lead = Garantie de { $shop } sur le revêtement de ce véhicule
certificate-description = Garantie { $number } de { $shop } sur le revêtement du véhicule { $vehicle } : étendue, entretien, réclamations et droits.
certificate-foot = Vérifiez ce certificat sur { $address }
certificate-code = À scanner : l’état de la garantie aujourd’hui
certificate-code-alt = Code qui ouvre { $address }
certificate-issued-to = Délivré à
certificate-issued-on = Délivré le
certificate-start = Début de la garantie
certificate-terms = Conditions
certificate-edition = { $code }, édition { $edition }
certificate-void = Cette garantie n’est pas valable
certificate-void-since = Elle a été délivrée par erreur et ne couvre rien. Elle n’est plus valable depuis le { $day }.
certificate-replaced = Cette garantie a été remplacée
certificate-replaced-by = La garantie { $number } a pris sa place.
certificate-cover = Ce que couvre la garantie, et jusqu’à quand
certificate-cover-lead = La garantie commence le { $day }, le compteur étant à { $distance }. Chaque surface est couverte jusqu’à son dernier jour inclus ou jusqu’à sa distance, selon ce qui arrive en premier.
certificate-panels = Éléments couverts
certificate-last-day = Dernier jour
certificate-up-to = Distance
certificate-km = { $distance } depuis le début
certificate-no-limit = sans limite
certificate-cover-note = Tel que promis le jour de la délivrance. Ce qui s’est passé depuis peut y changer quelque chose ; le code ci-dessus montre l’état actuel.
certificate-not-covered = Ce qui n’est pas couvert
certificate-left-out = Éléments exclus ({ $surface }) : { $panels }
certificate-rest = Toute surface et tout élément non nommés ci-dessus
certificate-remedy = Ce que nous faisons si le revêtement est défaillant
certificate-remedy-silent = Ces conditions n’indiquent pas de prestation propre. Vos droits légaux s’appliquent ; voir « Vos droits ».
certificate-claim = Comment faire jouer la garantie
certificate-report = Prévenez { $shop } dès que vous remarquez un défaut.
certificate-report-within = Prévenez { $shop } dans un délai de { $period } après avoir remarqué un défaut.
certificate-bring = Ayez ce certificat ou son numéro sous la main et laissez l’atelier examiner le véhicule.
certificate-work-by = Les travaux sous garantie sont faits par { $shop }, ou par un atelier qui vous est indiqué.
certificate-guarantor = Garant
certificate-upkeep = Ce que vous devez faire pour la conserver
certificate-upkeep-lead = La garantie dépend de l’entretien ci-dessous. Gardez les factures de ce que font d’autres ateliers.
certificate-upkeep-none = Aucun entretien n’est demandé.
certificate-entry = Une prestation doit être enregistrée dans un délai de { $period }. Passé ce délai, l’atelier doit la confirmer.
certificate-breaches = Ce qui touche aussi la garantie
certificate-transfer = Si vous vendez le véhicule
certificate-repair = Si un élément est réparé
certificate-care = Entretien et précautions
certificate-care-fresh = Tant que le revêtement est frais, gardez-le au sec et ne le lavez pas avant le jour que l’atelier vous a indiqué.
certificate-care-products = Employez les produits d’entretien comme le disent leur étiquette et leur fiche de données de sécurité : gants, aération, et jamais sur des éléments chauds.
certificate-care-ice = Ne grattez pas la glace sur les éléments traités et n’y versez pas d’eau chaude. L’eau de lavage gèle : attention en marchant.
certificate-law = Vos droits
certificate-law-remedies = En cas de défaut de conformité, la loi vous donne des recours contre le vendeur, sans frais. Cette garantie n’y porte pas atteinte.
certificate-law-rights = Cette garantie vous donne des droits précis, et vous pouvez en avoir d’autres, qui varient d’un État à l’autre.
certificate-law-implied = Ce certificat ne limite pas la durée des garanties implicites. Si d’autres documents du vendeur le font : certains États n’admettent pas de telles limites, qui peuvent donc ne pas s’appliquer à vous.
certificate-law-damages = Ce certificat n’exclut ni ne limite les dommages accessoires ou indirects. Si d’autres documents du vendeur le font : certains États ne l’admettent pas, et cela peut donc ne pas s’appliquer à vous.
certificate-law-dispute = Vous n’êtes tenu de suivre aucune procédure de règlement des litiges avant de saisir un tribunal.
certificate-law-card = Vous n’avez aucune carte d’enregistrement à renvoyer : la garantie n’en dépend pas.
certificate-law-territory = La garantie vaut où que soit le véhicule. Le droit de la consommation prime sur ces conditions.
certificate-seal = Preuve
certificate-seal-lead = L’atelier ne peut pas modifier cette promesse sans que cela se voie : elle figure dans son registre, et les conditions sont identifiées par leur empreinte. Une copie signée se vérifie sans rien demander à l’atelier.
certificate-terms-digest = SHA-256 des conditions
certificate-verify = À vérifier sur
certificate-keys = Clés des copies signées

# The winter card: care of a fresh coating.
winter-card-kind = Carte d’entretien
winter-card-heading = Revêtement frais : à garder au sec
winter-card-lead = Pour { $vehicle }, traité par { $shop }
winter-card-description = Quand le revêtement frais de { $vehicle } peut être mouillé, et quand il peut être lavé.
winter-card-foot = Ces heures sont des estimations. En cas de doute, demandez à { $shop }.
winter-card-leaves = Quitte l’atelier
winter-card-water = À garder au sec jusqu’au
winter-card-wash = Premier lavage à partir du
winter-card-cured = Durci à cœur à partir du
winter-card-unknown = pas encore connu : demandez-nous
winter-card-estimates = Ces heures sont des estimations. Elles sont calculées d’après les mesures faites à l’atelier et la dernière météo relevée dehors ; le froid les retarde. Toutes les heures sont celles de { $zone }.
winter-card-panels = Élément par élément
winter-card-panel = Élément
winter-card-covered = dès maintenant : une couche qui tient la pluie le recouvre
winter-card-may-get-wet = ce n’est plus nécessaire : il peut être mouillé
winter-card-now = dès maintenant
winter-card-never = D’ici là, jamais
winter-card-never-wash = le laver, ni en station ni à la main
winter-card-never-rub = frotter, polir ou dépoussiérer un élément sec
winter-card-never-snow = balayer la neige ou gratter la glace ; laissez fondre, à l’abri et moteur arrêté
winter-card-never-cover = poser une housse
winter-card-never-chemicals = employer des produits chimiques, de la cire ou un dégivrant
winter-card-wet = S’il est mouillé malgré tout
winter-card-wet-text = Ne laissez pas sécher les gouttes. Épongez-les avec un chiffon propre et doux, sans appuyer, et mettez le véhicule à l’abri. Fientes et sel de déneigement : appelez-nous le jour même.
winter-card-after = Le premier lavage
winter-card-after-text = À la main, à l’ombre, avec un shampooing au pH neutre, deux seaux et un gant doux. Pas de brosses. Séchez avec une serviette douce.
winter-card-safety = L’eau de lavage gèle : ne lavez pas par temps de gel et attention en marchant. Ne forcez pas une portière gelée.

# The label in the door frame.
door-label-kind = Étiquette de portière
door-label-description = Étiquette pour l’encadrement de portière de { $vehicle } : le code montre ce qui le recouvre et comment le laver.
door-label-heading = Ce véhicule est traité
door-label-code = À scanner avant de laver ou de polir : ce qui recouvre chaque élément, et ce qu’il supporte.
door-label-code-alt = Code qui ouvre la page de ce véhicule

# A job, on its sheet, in the history and in the dispute file.
paper-owner = Propriétaire
job-stands = État
job-state = { $state ->
    [open] en cours
    [signed_off] validée
    [handed_over] restituée
   *[cancelled] annulée
}
job-taken-in = Réception
job-signed-off = Validation
job-signed-off-by = { $at }, par { $by }
job-handed-over = Restitution
job-excluded = Exclus
job-panel = Élément
job-note = Remarque
job-marks = Marques à la réception
job-marks-none = Aucune marque n’a été relevée.
job-mark = Marque
job-size = Taille
job-mark-kind = { $kind ->
    [scratch] rayure
    [scuff] frottement
    [stone_chip] impact de gravillon
    [dent] bosse
    [crack] fissure
    [swirl] micro-rayures
    [etching] attaque chimique
    [water_spot] tache d’eau
    [overspray] brouillard de peinture
    [stain] tache
    [corrosion] oxydation
    [peeling] décollement
    [kerb_damage] choc de trottoir
    [tear] déchirure
   *[other] autre
}
job-paint = Mesures de peinture
job-paint-before = Avant polissage
job-paint-after = Après polissage
job-paint-mean = { $count ->
    [one] { $mean } µm ({ $count } mesure)
   *[other] { $mean } µm ({ $count } mesures)
}
job-paint-alt = { $count ->
    [one] Le véhicule vu de dessus, avec la moyenne des mesures sur { $count } élément, comme dans le tableau.
   *[other] Le véhicule vu de dessus, avec la moyenne des mesures sur { $count } éléments, comme dans le tableau.
}
job-steps = Préparation
job-when = Quand
job-step = Étape
job-where = Où
job-with = Avec
job-by = Par
job-coats = Couches
job-product = Produit
job-batch = Lot
job-sheet-edition = fiche technique, édition { $edition }
job-climate = Climat
job-air = Air
job-humidity = Humidité
job-panel-temperature = Élément
job-place = Lieu
job-climate-range = { $count ->
    [one] { $count } mesure : air de { $coldest } à { $warmest } °C, humidité relative de { $driest } à { $dampest } %.
   *[other] { $count } mesures : air de { $coldest } à { $warmest } °C, humidité relative de { $driest } à { $dampest } %.
}
job-checks = Contrôles
job-checks-none = Les contrôles n’ont rien relevé.
job-photos = Photographies
job-photo = Véhicule
job-photo-alt = Photo de l’intervention { $number } : { $shows }

# The job sheet.
job-sheet-kind = Fiche d’intervention
job-sheet-heading = Fiche d’intervention de { $vehicle }
job-sheet-description = Intervention { $number } sur le véhicule { $vehicle } : précautions, constats, préparation, climat, couches et validation.
job-found = À l’arrivée
job-done = Ce qui a été fait
job-cautions = Précautions
job-cautions-sheets = D’après les fiches techniques
job-caution-first = La fiche de données de sécurité de chaque produit et les règles locales font foi. Lisez-les avant d’ouvrir le flacon.
job-caution-gloves = Gants, protection des yeux et manches longues selon la fiche de données de sécurité. Changez les gants mouillés à l’intérieur.
job-caution-air = Solvants : aérez ou aspirez les vapeurs au ras du sol. Ni flamme, ni étincelle, ni chauffage incandescent, ni cigarette à proximité. Mal de tête ou vertige : sortez à l’air libre.
job-caution-isocyanates = Isocyanates : uniquement des personnes formées, avec l’appareil respiratoire indiqué par la fiche de données de sécurité ; personne d’autre dans le local avant aération. Qui y a réagi une fois reste à l’écart.
job-caution-rags = Les chiffons imbibés de solvant ou de revêtement peuvent s’enflammer seuls : dans un bac métallique fermé, et hors du bâtiment la nuit.
job-caution-mixing = Ne mélangez jamais les nettoyants. Acide et chlore dégagent un gaz toxique ; pas de décontaminant ferreux sur des disques chauds ou une peinture qui sèche.
job-caution-lamps = Lampes infrarouges : protection des yeux, distance de la fiche technique, jamais sans surveillance. Rien d’inflammable à proximité.
job-caution-footing = Un sol mouillé ou gelé glisse. Un véhicule levé repose sur des chandelles ; sur un véhicule haut, on travaille depuis une plateforme, pas depuis un bas de caisse ou une roue.
job-sign-off = Validation
job-sign-off-open = Pas encore validée.
job-line-name = Nom
job-line-day = Jour et heure
job-line-signature = Signature

# The history of a vehicle.
history-kind = Historique d’entretien
history-heading = Historique de { $vehicle }
history-lead = Au { $day }
history-description = Ce qui a été fait sur le véhicule { $vehicle }, et l’état de sa garantie au { $day }.
history-warranty = Garantie { $number }
history-state = État
history-from = À partir du
history-state-of = { $state ->
    [not_begun] pas commencée
    [in_force] en vigueur
    [suspended] suspendue
   *[ended] terminée
}
history-cause = { $cause ->
    [transfer] véhicule vendu
    [closed] véhicule sorti définitivement
    [distance] distance atteinte
    [missed] entretien oublié
    [breach] événement qui touche la garantie
    [shortened] raccourcie
   *[expired] durée écoulée
}
history-cover-alt = Garantie { $number } dans le temps : une barre par surface et une marque par échéance, comme dans les tableaux.
history-panel-out = { $panel } ({ $surface }) : hors garantie depuis le { $since }
history-panel-back = { $panel } ({ $surface }) : hors garantie à partir du { $since }, de nouveau couvert à partir du { $until }
history-dues = Entretien
history-rule = Règle
history-opens = Délai à partir du
history-due = Échéance
history-closes = Délai jusqu’au
history-due-status = { $status ->
    [ahead] à venir
    [open] ouverte
    [late] en retard
    [missed] oubliée
    [met] faite
   *[waived] dispensée
}
history-jobs = Traitements
history-jobs-none = Aucune intervention n’est enregistrée.
history-happened = Visites et événements
history-happened-none = Rien n’est enregistré.
history-day = Jour
history-what = Quoi
history-by-owner = le propriétaire
history-by-other = un autre atelier
history-outcome = { $outcome ->
    [in_order] En ordre
    [in_order_with_advice] En ordre, avec conseil
   *[finding] Constat
}
history-figure = { $name ->
    [contact_angle_deg] angle de contact (°)
    [roll_off_deg] angle de roulement (°)
    [gloss_gu] brillant (UB)
   *[delta_e_00] écart de couleur ΔE00
}
history-proof = Vu : { $proof }
history-not-as-asked = { $service }, pas comme demandé
history-reading = Relevé du compteur
history-sold = Vendu ; atelier prévenu le { $day }
history-sold-not-told = Vendu ; atelier non prévenu
history-repair = Réparé ou repeint : { $panel } ({ $surface })
history-recoat = Traité de nouveau : { $panel } ({ $surface })
history-breach = Événement qui touche la garantie : { $key }
history-waived = Dispensée : { $due }
history-extended = { $due } prolongée jusqu’au { $day }
history-closed = Sorti définitivement
history-retraction = Une inscription a été retirée

# The dispute file.
dispute-kind = Dossier de preuves
dispute-heading = Tout ce qui est enregistré sur { $vehicle }
dispute-lead = Réuni le { $at } ({ $zone })
dispute-description = Garanties avec leurs motifs, interventions, photos, événements et registres du véhicule { $vehicle }.
dispute-reasons = Pourquoi il en est ainsi
dispute-job = Intervention { $number }
dispute-entered = Inscrit
dispute-entry = { $at }, registre { $seq }
dispute-retracted = Retiré : { $what }
dispute-records = Registres
dispute-records-lead = Chaque document dont quelqu’un répond figure une fois dans le registre de l’atelier, avec sa place et le SHA-256 de son contenu. Aucun ne peut être modifié sans que cela se voie.
dispute-seq = N°
dispute-document = Pièce
dispute-because = Motif : { $reason }
dispute-countersigned = Inscrit tardivement ; le responsable l’a confirmé.
dispute-imported = Repris des anciens dossiers de l’atelier.
dispute-instead = Remplace ce que dit le registre { $seq }.
dispute-takes-back = Retire ce que dit le registre { $seq }.
dispute-owners = Propriétaires
dispute-owner = En tant que
dispute-owner-kind = { $kind ->
    [stock] stock d’un concessionnaire
   *[owner] propriétaire
}
dispute-owner-until = Jusqu’au
dispute-job-opened = Ouverte
dispute-job-cancelled = Annulée parce que
dispute-finishes = Autre finition
dispute-finish-is = { $finish ->
    [clear_coat] vernis
    [matte] mat
    [single_stage] monocouche
   *[film] film
}
dispute-old-coating = Arrivé déjà traité
dispute-readings = Chaque mesure
dispute-section-applied = Appliqué
dispute-section-levelled = Lissé
dispute-section-by-eye = à l’œil
dispute-bottles = Produits et lots
dispute-batch = Le lot aujourd’hui
dispute-batch-unknown = non enregistré
dispute-batch-state = { $state ->
    [usable] utilisable
    [quarantined] en quarantaine
   *[recalled] rappelé
}
dispute-batch-made = Fabriqué
dispute-batch-opened = Flacon ouvert
dispute-batch-expires = À utiliser jusqu’au
dispute-passes = Admis par le responsable et modifié depuis
dispute-signatures = Signatures du propriétaire
dispute-signatures-none = Le propriétaire n’a rien signé.
dispute-signed = { $occasion ->
    [check_in] Signé à la réception
   *[handover] Signé à la remise
}
dispute-signed-document = SHA-256 de ce qui a été signé
dispute-signature-alt = Signature de { $name }, tracée à la main
dispute-addenda = Inscrit après la validation
dispute-afterwards = inscrite après la validation
dispute-inspection = Inspection du { $day }
dispute-inspection-worked-out = Calculé d’après les mesures
dispute-inspection-decided = L’inspecteur en a décidé autrement
dispute-inspection-remedy = Ce qui est fait
dispute-inspection-remedy-is = { $remedy ->
    [decontaminate_and_top_up] décontaminer et renforcer
    [recoat_panel] traiter de nouveau la pièce
   *[claim] réclamation
}
dispute-water-arrived = Eau, à l’arrivée
dispute-water-decontaminated = Eau, après décontamination
dispute-water = { $water ->
    [beading] perles qui roulent
    [sheeting] s’écoule aussitôt en nappe
    [slow] s’écoule lentement
   *[flat] reste à plat
}
dispute-measured = Mesuré
dispute-measured-first = Première valeur
dispute-measured-allowed = Permis
dispute-visit-photos = Photos de la visite du { $day }
dispute-visit-photo-alt = Photo de la visite du { $day } : { $shows }
dispute-appointments = Rendez-vous
dispute-appointment-for = Pour
dispute-appointment-state = { $state ->
    [booked] pris
    [kept] tenu
    [missed] manqué
   *[cancelled] annulé
}
dispute-answers = Ce que le propriétaire a répondu
dispute-answer = Réponse
dispute-answer-was = { $answer ->
    [will_come] viendra
    [ask_again] veut qu’on lui redemande
    [elsewhere] le fait faire ailleurs
    [declined] a refusé
   *[not_reached] injoignable
}
dispute-reports = Ce qui a été signalé
dispute-report-kind = { $kind ->
    [booking] Le propriétaire a demandé un rendez-vous
    [problem] Le propriétaire a signalé un problème
    [sold] Le propriétaire a signalé la vente
    [door_wash] Lavage noté sur le véhicule
   *[door_repair] Réparation notée sur le véhicule
}
dispute-report-told = Signalé
dispute-report-at-vehicle = quelqu’un près du véhicule
dispute-report-words = Dans ses mots
dispute-report-buyer = Acheteur
dispute-report-desk = L’atelier
dispute-settled = l’a réglé le { $at }, { $by }
dispute-open = ne l’a pas encore réglé
dispute-notices = Ce qui a été dit au propriétaire
dispute-notice-planned = Prévu pour
dispute-notice = Avis
dispute-notice-to = À
dispute-notice-because = Pourquoi
dispute-notice-kind = { $kind ->
    [record] Ce qui a été fait
    [aftercare] Soins après la remise
    [wash-from] Premier lavage
    [first-look] Premier contrôle
    [upcoming] Entretien à venir
    [booked] Rendez-vous pris
    [last-call] Dernier rappel
    [missed] Entretien oublié
    [season] Saison
    [ending] Fin de garantie
    [changed] Changement de garantie
    [sign-in] Connexion
   *[link] Lien demandé
}
dispute-notice-state = { $state ->
    [planned] prévu
    [queued] écrit
    [sending] en cours d’envoi
    [sent] envoyé
    [failed] échoué
    [suppressed] retenu
    [cancelled] annulé
    [stale] dépassé
   *[dropped] omis
}
dispute-mail = e-mail { $number }
dispute-mails = Les e-mails
dispute-mails-lead = Chaque e-mail est conservé octet par octet tel qu’il a été écrit, avec ses pièces jointes. Qui l’a reçu peut comparer le Message-ID et le SHA-256.
dispute-mail-way = Son parcours
dispute-mail-proof = Reconnaissable à
dispute-mail-bytes = { $count ->
    [one] { $count } octet
   *[other] { $count } octets
}
dispute-mail-written = écrit { $at }
dispute-mail-sent = accepté par un serveur de messagerie { $at }
dispute-mail-attempts = { $count ->
    [one] { $count } essai
   *[other] { $count } essais
}
dispute-tasks = Ce que l’atelier avait à faire
dispute-task-kind = { $kind ->
    [notice_failed] Un e-mail n’a pas pu être remis
    [appointment_missed] Le propriétaire n’est pas venu
    [remedy] Une inspection a constaté quelque chose
    [booking_requested] Le propriétaire veut venir
    [problem_reported] Le propriétaire a signalé un problème
    [sold_reported] Le propriétaire a signalé la vente
   *[door_note] Noté sur le véhicule
}
dispute-log = { $count ->
    [one] Lorsque ce dossier a été réuni, le registre de l’atelier comptait { $count } document. On peut en calculer la racine de l’arbre de Merkle (RFC 9162) : si une autre en résulte, quelque chose a été modifié.
   *[other] Lorsque ce dossier a été réuni, le registre de l’atelier comptait { $count } documents. On peut en calculer la racine de l’arbre de Merkle (RFC 9162) : si une autre en résulte, quelque chose a été modifié.
}
dispute-log-head = Racine du registre
