# On every document.
paper-page = Seite { $page } von { $pages }
paper-vehicle = Fahrzeug
paper-vin = FIN
paper-plate = Kennzeichen
paper-odometer = Kilometerstand
paper-job = Auftrag
paper-surface = Oberfläche
paper-address = Anschrift
paper-phone = Telefon
paper-email = E-Mail-Adresse
paper-record = Nummer im Protokoll
paper-digest = Dessen SHA-256

# What terms ask for.
terms-by-owner = jeder, auch Sie selbst
terms-by-shop = jeder Fachbetrieb
terms-by-accredited = ein von { $issuer } zugelassener Betrieb
terms-when = Wann
terms-first = Zum ersten Mal
terms-window = Zeitraum
terms-who = Durch wen
terms-surfaces = Für
terms-missed = Bei Versäumnis
terms-once = Einmalig
terms-every-start = Abstand: { $period }, gerechnet ab Beginn der Garantie
terms-every-last = Abstand: { $period }, gerechnet ab dem letzten Mal
terms-or-distance = { $when }, oder nach { $distance }, je nachdem, was zuerst eintritt
terms-window-early = { $early } vor dem Stichtag bis zum Stichtag
terms-window-late = Bis { $late } nach dem Stichtag
terms-window-both = { $early } vor dem Stichtag bis { $late } danach
terms-miss = { $number }. Versäumnis: { $what }
terms-miss-on = { $number }. und jedes weitere Versäumnis: { $what }
terms-note = Es wird vermerkt. Die Garantie bleibt, wie sie ist.
terms-end = Die Garantie endet.
terms-shorten = Die Garantie endet { $period } früher.
terms-suspend = Die Garantie ruht, bis Folgendes nachgeholt ist: { $services }. Ausführen darf es { $by }.
terms-suspend-within = Die Garantie ruht. Sie lebt wieder auf, sobald Folgendes nachgeholt ist (Frist: { $period }): { $services }; ausführen darf es { $by }. Sonst endet sie.
terms-breach = { $key }: { $what }
terms-breach-on = { $key } ({ $surfaces }): { $what }
terms-transfer-free = Die Garantie geht mit dem Fahrzeug auf beliebig viele Halter über. Dafür ist nichts zu tun.
terms-transfer-none = Die Garantie gilt nur für den ersten Halter. Mit dem Verkauf des Fahrzeugs endet sie.
terms-transfer-any = Die Garantie geht mit dem Fahrzeug auf beliebig viele Halter über.
terms-transfer-owners = Die Garantie geht mit dem Fahrzeug über, auf insgesamt { $owners } Halter einschließlich des ersten.
terms-transfer-tell = Melden Sie dem Betrieb den Verkauf (Frist: { $period }).
terms-transfer-inspect = Lassen Sie das Fahrzeug nach dem Verkauf prüfen (Frist: { $period }). Ausführen darf es { $by }.
terms-repair = Ein instand gesetztes oder neu lackiertes Teil ist ab diesem Tag von der Garantie ausgenommen, bis es neu beschichtet ist.
terms-repair-within = Ein instand gesetztes oder neu lackiertes Teil ist ab diesem Tag von der Garantie ausgenommen. Wird es rechtzeitig neu beschichtet (Frist: { $period }), gilt die Garantie wieder.
terms-repair-never = Ein instand gesetztes oder neu lackiertes Teil ist ab diesem Tag von der Garantie ausgenommen.

# The certificate of a warranty.
certificate-kind = Garantieurkunde
certificate-lead = Garantie von { $shop } auf die Beschichtung dieses Fahrzeugs
certificate-description = Garantie { $number } von { $shop } auf die Beschichtung des Fahrzeugs { $vehicle }: Umfang, Pflege, Inanspruchnahme und Rechte.
certificate-foot = Diese Urkunde prüfen: { $address }
certificate-code = Scannen: So steht es heute um die Garantie
certificate-code-alt = Code, der { $address } öffnet
certificate-issued-to = Ausgestellt für
certificate-issued-on = Ausgestellt am
certificate-start = Garantiebeginn
certificate-terms = Bedingungen
certificate-edition = { $code }, Ausgabe { $edition }
certificate-void = Diese Garantie ist ungültig
certificate-void-since = Sie wurde irrtümlich ausgestellt und deckt nichts. Ungültig seit dem { $day }.
certificate-replaced = Diese Garantie wurde ersetzt
certificate-replaced-by = An ihre Stelle ist die Garantie { $number } getreten.
certificate-cover = Was die Garantie umfasst, und wie lange
certificate-cover-lead = Die Garantie beginnt am { $day } beim Kilometerstand { $distance }. Jede Oberfläche ist bis einschließlich ihres letzten Tages gedeckt oder bis zu ihrer Fahrstrecke, je nachdem, was zuerst eintritt.
certificate-panels = Gedeckte Teile
certificate-last-day = Letzter Tag
certificate-up-to = Fahrstrecke
certificate-km = { $distance } ab Beginn
certificate-no-limit = unbegrenzt
certificate-cover-note = Wie am Tag der Ausstellung zugesagt. Was seither geschehen ist, kann daran etwas ändern; der Code oben zeigt, wie es heute um die Garantie steht.
certificate-not-covered = Was die Garantie nicht umfasst
certificate-left-out = Ausgelassene Teile ({ $surface }): { $panels }
certificate-rest = Jede Oberfläche und jedes Teil, das oben nicht genannt ist
certificate-remedy = Was wir tun, wenn die Beschichtung versagt
certificate-remedy-silent = Diese Bedingungen nennen keine eigene Leistung. Es gilt, was das Gesetz Ihnen gibt; siehe „Ihre Rechte“.
certificate-claim = So nehmen Sie die Garantie in Anspruch
certificate-report = Melden Sie { $shop } einen Mangel, sobald Sie ihn bemerken.
certificate-report-within = Melden Sie { $shop } einen Mangel, nachdem Sie ihn bemerkt haben (Frist: { $period }).
certificate-bring = Halten Sie diese Urkunde oder ihre Nummer bereit, und lassen Sie den Betrieb das Fahrzeug ansehen.
certificate-work-by = Garantiearbeiten führt { $shop } aus oder ein Betrieb, den { $shop } Ihnen nennt.
certificate-guarantor = Garantiegeber
certificate-upkeep = Was Sie dafür tun müssen
certificate-upkeep-lead = Die Garantie hängt von der folgenden Pflege ab. Bewahren Sie die Rechnungen anderer Betriebe auf.
certificate-upkeep-none = Es wird keine Pflege verlangt.
certificate-entry = Eine Arbeit muss nach ihrer Ausführung eingetragen werden (Frist: { $period }). Danach muss der Betrieb sie bestätigen.
certificate-breaches = Was die Garantie außerdem berührt
certificate-transfer = Wenn Sie das Fahrzeug verkaufen
certificate-repair = Wenn ein Teil instand gesetzt wird
certificate-care = Pflege und Vorsicht
certificate-care-fresh = Halten Sie die frische Beschichtung trocken, und waschen Sie sie nicht vor dem Tag, den der Betrieb Ihnen genannt hat.
certificate-care-products = Verwenden Sie Pflegemittel so, wie Etikett und Sicherheitsdatenblatt es sagen: Handschuhe tragen, lüften und nie auf heißen Flächen arbeiten.
certificate-care-ice = Kratzen Sie kein Eis von beschichteten Teilen, und gießen Sie kein heißes Wasser darüber. Waschwasser gefriert: Achten Sie auf Ihren Tritt.
certificate-law = Ihre Rechte
certificate-law-remedies = Bei Mängeln stehen Ihnen gegen den Verkäufer gesetzliche Rechte zu. Sie in Anspruch zu nehmen ist unentgeltlich. Diese Garantie schränkt sie nicht ein.
certificate-law-rights = Diese Garantie gibt Ihnen bestimmte Rechte. Daneben können Ihnen weitere Rechte zustehen, die je nach Staat verschieden sind.
certificate-law-implied = Diese Urkunde begrenzt nicht, wie lange eine stillschweigende Gewährleistung gilt. Tun es andere Papiere des Verkäufers: Manche Staaten lassen solche Grenzen nicht zu, sodass sie für Sie womöglich nicht gelten.
certificate-law-damages = Diese Urkunde schließt Neben- und Folgeschäden weder aus noch begrenzt sie sie. Tun es andere Papiere des Verkäufers: Manche Staaten lassen dies nicht zu, sodass es für Sie womöglich nicht gilt.
certificate-law-dispute = Sie müssen kein Schlichtungsverfahren durchlaufen, bevor Sie ein Gericht anrufen.
certificate-law-card = Sie müssen keine Registrierungskarte zurücksenden: Die Garantie hängt nicht davon ab.
certificate-law-territory = Die Garantie gilt, wo immer das Fahrzeug ist. Das Verbraucherrecht steht über diesen Bedingungen.
certificate-seal = Nachweis
certificate-seal-lead = Der Betrieb kann diese Zusage nicht unbemerkt ändern: Sie steht in seinem Protokoll, und die Bedingungen sind durch ihre Prüfsumme festgehalten. Eine signierte Fassung lässt sich prüfen, ohne den Betrieb zu fragen.
certificate-terms-digest = SHA-256 der Bedingungen
certificate-verify = Prüfen unter
certificate-keys = Schlüssel signierter Fassungen

# The winter card: care of a fresh coating.
winter-card-kind = Pflegekarte
winter-card-heading = Frisch beschichtet: trocken halten
winter-card-lead = Für { $vehicle }, beschichtet von { $shop }
winter-card-description = Ab wann die frische Beschichtung von { $vehicle } nass werden und ab wann sie gewaschen werden darf.
winter-card-foot = Die Zeiten sind Schätzungen. Im Zweifel fragen Sie { $shop }.
winter-card-leaves = Verlässt den Betrieb
winter-card-water = Trocken halten bis
winter-card-wash = Erste Wäsche ab
winter-card-cured = Ganz ausgehärtet ab
winter-card-unknown = noch nicht bekannt: fragen Sie uns
winter-card-estimates = Diese Zeiten sind Schätzungen. Sie sind aus den Messungen im Betrieb und dem zuletzt gemessenen Wetter draußen berechnet; bei kälterem Wetter wird es später. Alle Zeiten gelten für { $zone }.
winter-card-panels = Teil für Teil
winter-card-panel = Teil
winter-card-covered = jetzt: eine regenfeste Deckschicht liegt darüber
winter-card-may-get-wet = nicht mehr nötig: darf jetzt nass werden
winter-card-now = jetzt
winter-card-never = Bis dahin auf keinen Fall
winter-card-never-wash = waschen, weder in der Waschanlage noch von Hand
winter-card-never-rub = reiben, polieren oder Staub von trockenen Flächen wischen
winter-card-never-snow = Schnee abkehren oder Eis abkratzen; lassen Sie es von selbst abtauen, unter Dach und bei stehendem Motor
winter-card-never-cover = eine Abdeckhaube überziehen
winter-card-never-chemicals = Chemikalien, Wachs oder Enteiser verwenden
winter-card-wet = Wenn es doch nass wird
winter-card-wet-text = Lassen Sie keine Tropfen antrocknen. Tupfen Sie sie mit einem sauberen, weichen Tuch ohne Druck ab, und stellen Sie das Fahrzeug unter. Vogelkot und Streusalz: Rufen Sie uns am selben Tag an.
winter-card-after = Die erste Wäsche
winter-card-after-text = Von Hand, im Schatten, mit pH-neutralem Shampoo, zwei Eimern und weichem Waschhandschuh. Keine Bürsten. Mit einem weichen Tuch trocknen.
winter-card-safety = Waschwasser gefriert: Waschen Sie nicht bei Frost, und achten Sie auf Ihren Tritt. Eine festgefrorene Tür wird nicht mit Gewalt geöffnet.

# The label in the door frame.
door-label-kind = Türaufkleber
door-label-description = Aufkleber für den Türrahmen von { $vehicle }: Der Code öffnet, was darauf ist und wie man es wäscht.
door-label-heading = Dieses Fahrzeug ist beschichtet
door-label-code = Vor dem Waschen oder Polieren scannen: was auf welchem Teil ist und was es verträgt.
door-label-code-alt = Code, der die Seite dieses Fahrzeugs öffnet

# A job, on its sheet, in the history and in the dispute file.
paper-owner = Halter
job-stands = Stand
job-state = { $state ->
    [open] offen
    [signed_off] abgezeichnet
    [handed_over] übergeben
   *[cancelled] abgebrochen
}
job-taken-in = Angenommen
job-signed-off = Abgezeichnet
job-signed-off-by = { $at }, von { $by }
job-handed-over = Übergeben
job-excluded = Ausgelassen
job-panel = Teil
job-note = Bemerkung
job-marks = Vorschäden bei der Annahme
job-marks-none = Es wurden keine Vorschäden festgestellt.
job-mark = Schaden
job-size = Größe
job-mark-kind = { $kind ->
    [scratch] Kratzer
    [scuff] Schramme
    [stone_chip] Steinschlag
    [dent] Delle
    [crack] Riss
    [swirl] Waschkratzer
    [etching] Verätzung
    [water_spot] Wasserfleck
    [overspray] Sprühnebel
    [stain] Fleck
    [corrosion] Rost
    [peeling] Ablösung
    [kerb_damage] Bordsteinschaden
    [tear] Einriss
   *[other] Sonstiges
}
job-paint = Lackdickenmessung
job-paint-before = Vor dem Polieren
job-paint-after = Nach dem Polieren
job-paint-mean = { $count ->
    [one] { $mean } µm ({ $count } Messung)
   *[other] { $mean } µm ({ $count } Messungen)
}
job-paint-alt = { $count ->
    [one] Das Fahrzeug von oben mit dem Mittelwert der Messungen auf { $count } Teil, wie in der Tabelle.
   *[other] Das Fahrzeug von oben mit den Mittelwerten der Messungen auf { $count } Teilen, wie in der Tabelle.
}
job-steps = Vorbereitung
job-when = Wann
job-step = Arbeitsschritt
job-where = Wo
job-with = Womit
job-by = Durch
job-coats = Schichten
job-product = Produkt
job-batch = Charge
job-sheet-edition = Datenblatt, Ausgabe { $edition }
job-climate = Klima
job-air = Luft
job-humidity = Luftfeuchte
job-panel-temperature = Teil
job-place = Ort
job-climate-range = { $count ->
    [one] { $count } Messung: Luft { $coldest } bis { $warmest } °C, relative Luftfeuchte { $driest } bis { $dampest } %.
   *[other] { $count } Messungen: Luft { $coldest } bis { $warmest } °C, relative Luftfeuchte { $driest } bis { $dampest } %.
}
job-checks = Prüfungen
job-checks-none = Die Prüfungen ergaben nichts.
job-photos = Fotos
job-photo = Fahrzeug
job-photo-alt = Foto des Auftrags { $number }: { $shows }

# The job sheet.
job-sheet-kind = Auftragsblatt
job-sheet-heading = Auftragsblatt für { $vehicle }
job-sheet-description = Auftrag { $number } am Fahrzeug { $vehicle }: Vorsichtsmaßnahmen, Befund, Vorbereitung, Klima, Schichten und Abzeichnung.
job-found = Wie es ankam
job-done = Was gemacht wurde
job-cautions = Vorsichtsmaßnahmen
job-cautions-sheets = Aus den Datenblättern
job-caution-first = Maßgebend sind das Sicherheitsdatenblatt jedes Produkts und die örtlichen Vorschriften. Lesen Sie sie, bevor die Flasche geöffnet wird.
job-caution-gloves = Handschuhe, Augenschutz und lange Ärmel, wie das Sicherheitsdatenblatt es sagt. Innen feuchte Handschuhe wechseln.
job-caution-air = Lösemittel: lüften oder Dämpfe bodennah absaugen. Keine Flamme, kein Funke, kein glühender Heizer, kein Rauchen in der Nähe. Bei Kopfschmerz oder Schwindel: hinaus an die frische Luft.
job-caution-isocyanates = Isocyanate: nur geschulte Personen, mit der Atemschutz- oder Frischluftmaske, die das Sicherheitsdatenblatt nennt; sonst niemand im Raum, bis er gelüftet ist. Wer einmal darauf reagiert hat, hält sich fern.
job-caution-rags = Mit Lösemittel oder Beschichtung getränkte Tücher können sich selbst entzünden: in einen geschlossenen Metallbehälter und nachts aus dem Gebäude.
job-caution-mixing = Reiniger nie mischen. Säure und Chlor setzen giftiges Gas frei; Flugrostentferner nicht auf heiße Scheiben oder trocknenden Lack.
job-caution-lamps = Infrarotlampen: Augenschutz, Abstand nach Datenblatt, nie unbeaufsichtigt. Nichts Brennbares in der Nähe.
job-caution-footing = Nasse und vereiste Böden sind glatt. Ein angehobenes Fahrzeug steht auf Böcken; an einem hohen wird von einem Podest gearbeitet, nicht von Schweller oder Rad aus.
job-sign-off = Abzeichnung
job-sign-off-open = Noch nicht abgezeichnet.
job-line-name = Name
job-line-day = Tag und Uhrzeit
job-line-signature = Unterschrift

# The history of a vehicle.
history-kind = Servicehistorie
history-heading = Historie von { $vehicle }
history-lead = Stand: { $day }
history-description = Was am Fahrzeug { $vehicle } gemacht wurde und wie es am { $day } um seine Garantie steht.
history-warranty = Garantie { $number }
history-state = Stand
history-from = Ab
history-state-of = { $state ->
    [not_begun] noch nicht begonnen
    [in_force] in Kraft
    [suspended] ruht
   *[ended] beendet
}
history-cause = { $cause ->
    [transfer] Fahrzeug verkauft
    [closed] Fahrzeug endgültig ausgeschieden
    [distance] Fahrstrecke erreicht
    [missed] Pflege versäumt
    [breach] Ereignis, das die Garantie berührt
    [shortened] verkürzt
   *[expired] Zeit abgelaufen
}
history-cover-alt = Garantie { $number } im Zeitverlauf: ein Balken je Oberfläche und eine Marke je Fälligkeit, wie in den Tabellen.
history-panel-out = { $panel } ({ $surface }): ausgenommen seit { $since }
history-panel-back = { $panel } ({ $surface }): ausgenommen ab { $since }, wieder gedeckt ab { $until }
history-dues = Pflege
history-rule = Regel
history-opens = Zeitraum ab
history-due = Stichtag
history-closes = Zeitraum bis
history-due-status = { $status ->
    [ahead] steht bevor
    [open] offen
    [late] überfällig
    [missed] versäumt
    [met] erfüllt
   *[waived] erlassen
}
history-jobs = Beschichtungen
history-jobs-none = Es ist kein Auftrag verzeichnet.
history-happened = Besuche und Ereignisse
history-happened-none = Es ist nichts verzeichnet.
history-day = Tag
history-what = Was
history-by-owner = der Halter
history-by-other = ein anderer Betrieb
history-outcome = { $outcome ->
    [in_order] In Ordnung
    [in_order_with_advice] In Ordnung, mit Hinweis
   *[finding] Befund
}
history-figure = { $name ->
    [contact_angle_deg] Kontaktwinkel (°)
    [roll_off_deg] Abrollwinkel (°)
    [gloss_gu] Glanz (GE)
   *[delta_e_00] Farbabstand ΔE00
}
history-proof = Vorgelegt: { $proof }
history-not-as-asked = { $service }, nicht wie verlangt
history-reading = Kilometerstand abgelesen
history-sold = Verkauft; dem Betrieb gemeldet am { $day }
history-sold-not-told = Verkauft; dem Betrieb nicht gemeldet
history-repair = Instand gesetzt oder neu lackiert: { $panel } ({ $surface })
history-recoat = Neu beschichtet: { $panel } ({ $surface })
history-breach = Ereignis, das die Garantie berührt: { $key }
history-waived = Erlassen: { $due }
history-extended = { $due } verlängert bis { $day }
history-closed = Endgültig ausgeschieden
history-retraction = Ein Eintrag wurde zurückgenommen

# The dispute file.
dispute-kind = Beweisakte
dispute-heading = Alles Verzeichnete zu { $vehicle }
dispute-lead = Zusammengestellt am { $at } ({ $zone })
dispute-description = Garantien mit Gründen, Aufträge, Fotos, Ereignisse und die Protokolle zum Fahrzeug { $vehicle }.
dispute-reasons = Warum es so steht
dispute-job = Auftrag { $number }
dispute-entered = Eingetragen
dispute-entry = { $at }, Protokoll { $seq }
dispute-retracted = Zurückgenommen: { $what }
dispute-records = Protokolle
dispute-records-lead = Jedes Schriftstück, für das jemand einsteht, steht einmal im Protokoll des Betriebs, mit seiner Stelle und dem SHA-256 seines Inhalts. Keines lässt sich unbemerkt ändern.
dispute-seq = Nr.
dispute-document = Schriftstück
dispute-because = Grund: { $reason }
dispute-countersigned = Spät eingetragen; die Leitung hat es bestätigt.
dispute-imported = Aus älteren Unterlagen des Betriebs übernommen.
dispute-instead = Steht anstelle dessen, was Protokoll { $seq } sagt.
dispute-takes-back = Nimmt zurück, was Protokoll { $seq } sagt.
dispute-owners = Halter
dispute-owner = Als
dispute-owner-kind = { $kind ->
    [stock] Händlerbestand
   *[owner] Halter
}
dispute-owner-until = Bis
dispute-job-opened = Angelegt
dispute-job-cancelled = Storniert, weil
dispute-finishes = Andere Oberfläche
dispute-finish-is = { $finish ->
    [clear_coat] Klarlack
    [matte] matt
    [single_stage] Einschichtlack
   *[film] Folie
}
dispute-old-coating = Kam mit einer Beschichtung
dispute-readings = Jede Messung
dispute-section-applied = Aufgetragen
dispute-section-levelled = Auspoliert
dispute-section-by-eye = nach Augenmaß
dispute-bottles = Produkte und Chargen
dispute-batch = Die Charge heute
dispute-batch-unknown = nicht erfasst
dispute-batch-state = { $state ->
    [usable] verwendbar
    [quarantined] gesperrt
   *[recalled] zurückgerufen
}
dispute-batch-made = Hergestellt
dispute-batch-opened = Flasche geöffnet
dispute-batch-expires = Verwendbar bis
dispute-passes = Von der Leitung zugelassen und seither geändert
dispute-signatures = Unterschriften des Halters
dispute-signatures-none = Vom Halter wurde nichts unterschrieben.
dispute-signed = { $occasion ->
    [check_in] Unterschrieben bei der Annahme
   *[handover] Unterschrieben bei der Übergabe
}
dispute-signed-document = SHA-256 des Unterschriebenen
dispute-signature-alt = Unterschrift von { $name }, mit der Hand gezeichnet
dispute-addenda = Nach der Abzeichnung eingetragen
dispute-afterwards = nach der Abzeichnung eingetragen
dispute-inspection = Inspektion am { $day }
dispute-inspection-worked-out = Aus den Messungen errechnet
dispute-inspection-decided = Der Prüfer entschied anders
dispute-inspection-remedy = Was dagegen getan wird
dispute-inspection-remedy-is = { $remedy ->
    [decontaminate_and_top_up] dekontaminieren und auffrischen
    [recoat_panel] Teil neu beschichten
   *[claim] Garantiefall
}
dispute-water-arrived = Wasser, bei der Ankunft
dispute-water-decontaminated = Wasser, nach der Dekontamination
dispute-water = { $water ->
    [beading] perlt ab
    [sheeting] läuft sofort als Film ab
    [slow] läuft langsam ab
   *[flat] steht flach und bleibt
}
dispute-measured = Gemessen
dispute-measured-first = Erster Wert
dispute-measured-allowed = Erlaubt
dispute-visit-photos = Fotos zum Besuch am { $day }
dispute-visit-photo-alt = Foto zum Besuch am { $day }: { $shows }
dispute-appointments = Termine
dispute-appointment-for = Für
dispute-appointment-state = { $state ->
    [booked] vereinbart
    [kept] eingehalten
    [missed] versäumt
   *[cancelled] abgesagt
}
dispute-answers = Was der Halter antwortete
dispute-answer = Antwort
dispute-answer-was = { $answer ->
    [will_come] kommt
    [ask_again] will noch einmal gefragt werden
    [elsewhere] lässt es anderswo machen
    [declined] lehnte ab
   *[not_reached] nicht erreicht
}
dispute-reports = Was gemeldet wurde
dispute-report-kind = { $kind ->
    [booking] Der Halter bat um einen Termin
    [problem] Der Halter meldete ein Problem
    [sold] Der Halter meldete den Verkauf
    [door_wash] Wäsche, am Fahrzeug notiert
   *[door_repair] Instandsetzung, am Fahrzeug notiert
}
dispute-report-told = Gemeldet
dispute-report-at-vehicle = jemand am Fahrzeug
dispute-report-words = Wörtlich
dispute-report-buyer = Käufer
dispute-report-desk = Der Betrieb
dispute-settled = erledigte es am { $at }, { $by }
dispute-open = hat es noch nicht erledigt
dispute-notices = Was dem Halter mitgeteilt wurde
dispute-notice-planned = Geplant für
dispute-notice = Mitteilung
dispute-notice-to = An
dispute-notice-because = Warum
dispute-notice-kind = { $kind ->
    [record] Was gemacht wurde
    [aftercare] Pflege nach der Übergabe
    [wash-from] Erste Wäsche
    [first-look] Erste Kontrolle
    [upcoming] Pflege steht an
    [booked] Vereinbarter Termin
    [last-call] Letzte Erinnerung
    [missed] Pflege versäumt
    [season] Jahreszeit
    [ending] Ende der Garantie
    [changed] Änderung der Garantie
    [sign-in] Anmeldung
   *[link] Angeforderter Link
}
dispute-notice-state = { $state ->
    [planned] geplant
    [queued] geschrieben
    [sending] wird gesendet
    [sent] gesendet
    [failed] gescheitert
    [suppressed] zurückgehalten
    [cancelled] abgesagt
    [stale] überholt
   *[dropped] ausgelassen
}
dispute-mail = E-Mail { $number }
dispute-mails = Die E-Mails
dispute-mails-lead = Jede E-Mail wird Byte für Byte so aufbewahrt, wie sie geschrieben wurde, mit ihren Anhängen. Wer sie bekam, kann die Message-ID und den SHA-256 vergleichen.
dispute-mail-way = Ihr Weg
dispute-mail-proof = Erkennbar an
dispute-mail-bytes = { $count ->
    [one] { $count } Byte
   *[other] { $count } Bytes
}
dispute-mail-written = geschrieben { $at }
dispute-mail-sent = von einem Mailserver angenommen { $at }
dispute-mail-attempts = { $count ->
    [one] { $count } Versuch
   *[other] { $count } Versuche
}
dispute-tasks = Was der Betrieb zu tun hatte
dispute-task-kind = { $kind ->
    [notice_failed] Eine E-Mail war nicht zustellbar
    [appointment_missed] Der Halter kam nicht
    [remedy] Eine Inspektion ergab einen Befund
    [booking_requested] Der Halter will kommen
    [problem_reported] Der Halter meldete ein Problem
    [sold_reported] Der Halter meldete den Verkauf
   *[door_note] Am Fahrzeug notiert
}
dispute-log = { $count ->
    [one] Als diese Akte zusammengestellt wurde, stand { $count } Schriftstück im Protokoll des Betriebs. Daraus lässt sich die Wurzel des Merkle-Baums (RFC 9162) errechnen: Kommt eine andere heraus, so wurde etwas geändert.
   *[other] Als diese Akte zusammengestellt wurde, standen { $count } Schriftstücke im Protokoll des Betriebs. Aus ihnen lässt sich die Wurzel des Merkle-Baums (RFC 9162) errechnen: Kommt eine andere heraus, so wurde etwas geändert.
}
dispute-log-head = Wurzel des Protokolls
