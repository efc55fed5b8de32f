# Was in E-Mails an Fahrzeugbesitzer steht. Ein Betreff sagt: Fahrzeug, was, Datum.
mail-subject-more = { $count ->
    [one] { $subject } (und eine weitere Nachricht)
   *[other] { $subject } (und { $count } weitere Nachrichten)
}
mail-subject-drill = [Übung] { $subject }
mail-drill = Diese E-Mail gehört zu einer Übung. Nichts darin ist echt.
mail-greeting = Guten Tag { $name },
mail-regards = Mit freundlichen Grüßen
mail-reach = { $what ->
    [day] Um einen Termin zu vereinbaren, antworten Sie auf diese E-Mail.
    [booking] Wenn Ihnen der Termin nicht mehr passt, antworten Sie auf diese E-Mail.
   *[question] Wenn Sie Fragen haben, antworten Sie auf diese E-Mail.
}
mail-reach-by-phone = { $what ->
    [day] Um einen Termin zu vereinbaren, antworten Sie auf diese E-Mail oder rufen Sie uns an: { $phone }.
    [booking] Wenn Ihnen der Termin nicht mehr passt, antworten Sie auf diese E-Mail oder rufen Sie uns an: { $phone }.
   *[question] Wenn Sie Fragen haben, antworten Sie auf diese E-Mail oder rufen Sie uns an: { $phone }.
}
mail-no-upkeep = Keine E-Mails mehr zu fälligen Pflegearbeiten
mail-no-history = Keine E-Mails mehr zu ausgeführten Arbeiten
# Der Betreff der E-Mail, die solche E-Mails abbestellt; der Betrieb liest ihn.
mail-unsubscribe = Bitte keine solchen E-Mails mehr
mail-consumer-law = Das Verbraucherrecht geht diesen Bedingungen vor: Sie nehmen Ihnen keines der Rechte, die es Ihnen gibt.

# Wie Angaben und Links im reinen Text stehen.
mail-fact = { $name }: { $value }
mail-link = { $label }:

# Was ein Link bewirkt, als Aufforderung.
mail-do-book = Termin vereinbaren
mail-do-change-booking = Termin verschieben oder absagen
mail-do-open-page = Seite Ihres Fahrzeugs öffnen
mail-do-confirm-transfer = Eigentümerwechsel bestätigen
mail-do-report-claim = Problem melden

# Namen von Angaben.
mail-fact-what = Was
mail-fact-due = Fällig am
mail-fact-from = Frühestens am
mail-fact-until = Spätestens am
mail-fact-distance = Und spätestens bei
mail-fact-terms = Bedingungen
mail-fact-day = Termin
mail-fact-place = Wo
mail-fact-keep-dry = Trocken halten bis
mail-fact-first-wash = Erste Wäsche ab
mail-fact-full-cure = Vollständig ausgehärtet am
mail-clause = „{ $title }“, { $clause }
mail-by-terms = Bedingungen { $clause }

# Etwas wird fällig.
mail-upcoming-subject = { $vehicle }: { $services } fällig am { $date }
mail-upcoming-keeps = Damit bleibt der Garantieschutz bestehen für: { $surfaces }.
mail-who = { $by ->
    [accredited] Das muss ein anerkannter Fachbetrieb erledigen.
    [shop] Das muss ein Fachbetrieb erledigen.
   *[owner] Sie können es selbst erledigen oder erledigen lassen.
}
mail-if-missed-note = Wird es versäumt, wird das vermerkt; am Garantieschutz ändert sich nichts.
mail-if-missed-end = Wird es versäumt, endet der Garantieschutz für { $surfaces }.
mail-if-missed-shorten = Wird es versäumt, endet der Garantieschutz für { $surfaces } früher, und zwar um: { $period }.
mail-if-missed-suspend = { $by ->
    [accredited] Wird es versäumt, ruht der Garantieschutz für { $surfaces }, bis ein anerkannter Fachbetrieb Folgendes erledigt hat: { $with }.
    [shop] Wird es versäumt, ruht der Garantieschutz für { $surfaces }, bis ein Fachbetrieb Folgendes erledigt hat: { $with }.
   *[owner] Wird es versäumt, ruht der Garantieschutz für { $surfaces }, bis Folgendes erledigt ist: { $with }.
}
mail-if-missed-suspend-within = Die Frist dafür beträgt { $period }; danach endet der Garantieschutz.

# Die Frist läuft bald ab.
mail-last-call-subject = { $vehicle }: letzte Erinnerung, { $services } bis { $date }
mail-last-call-open = Für diesen Zeitraum ist bei uns noch nichts eingetragen ({ $services }). Der letzte mögliche Tag ist der { $closes }.

# Etwas wurde versäumt.
mail-missed-subject = { $vehicle }: { $services } versäumt seit { $date }
mail-missed-by-day = Bei uns ist nicht eingetragen, dass dies bis zum { $closes } erledigt wurde: { $services }. Es gilt seit dem { $since } als versäumt.
mail-missed-by-distance = Bei uns ist nicht eingetragen, dass dies vor einer Laufleistung von { $distance } erledigt wurde: { $services }. Es gilt seit dem { $since } als versäumt.
mail-cost-note = Das ist vermerkt. Am Garantieschutz ändert sich nichts.
mail-cost-end = Der Garantieschutz für { $surfaces } hat damit geendet.
mail-cost-shorten = Der Garantieschutz für { $surfaces } endet früher als vorgesehen, und zwar um: { $period }.
mail-cost-suspend = { $by ->
    [accredited] Der Garantieschutz für { $surfaces } ruht seit dem { $since }. Er gilt wieder ab dem Tag, an dem ein anerkannter Fachbetrieb Folgendes erledigt: { $with }.
    [shop] Der Garantieschutz für { $surfaces } ruht seit dem { $since }. Er gilt wieder ab dem Tag, an dem ein Fachbetrieb Folgendes erledigt: { $with }.
   *[owner] Der Garantieschutz für { $surfaces } ruht seit dem { $since }. Er gilt wieder ab dem Tag, an dem Folgendes erledigt wird: { $with }.
}
mail-cost-suspend-until = Der letzte Tag dafür ist der { $until }; danach endet der Garantieschutz endgültig.
mail-missed-if-done = Wenn es rechtzeitig erledigt wurde und wir nur nichts davon wissen, senden Sie uns die Rechnung: Wir tragen es nach.

# Ein Termin steht fest.
mail-booked-subject = { $vehicle }: Termin am { $date }
mail-booked-again-subject = { $vehicle }: Wir erwarten Sie am { $date }
mail-booked = Ihr Termin ist eingetragen.
mail-booked-again = Wir erinnern Sie an Ihren Termin.
mail-booked-calendar = Dieser E-Mail liegt eine Kalenderdatei bei: Öffnen Sie sie, um den Termin in Ihren Kalender zu übernehmen.

# Was gemacht wurde.
mail-record-handover-subject = { $vehicle }: was wir gemacht haben, { $date }
mail-record-warranty-subject = { $vehicle }: was wir gemacht haben, und Ihre Garantie, { $date }
mail-record-visit-subject = { $vehicle }: was wir bei Ihrem Besuch gemacht haben, { $date }
mail-record-elsewhere-subject = { $vehicle }: anderswo erledigt und jetzt eingetragen, { $date }
mail-done-step = { $step } mit { $product }
mail-done-coat = { $product } auf { $place }, Charge { $batch }
mail-done-by-owner = { $service }, durch Sie selbst
mail-done-by = { $service }, durch { $name }
mail-done-not = { $service } (konnte nicht ausgeführt werden)
mail-place = { $surface } ({ $panels })
mail-covered = Was unter Garantie steht:
mail-covered-by = Was unter Garantie { $warranty } steht:
mail-cover-until = { $hold ->
    [yes] ruht; bis { $date }
   *[no] bis { $date }
}
mail-cover-until-or = { $hold ->
    [yes] ruht; bis { $date } oder { $distance } ab Beginn, je nachdem, was zuerst eintritt
   *[no] bis { $date } oder { $distance } ab Beginn, je nachdem, was zuerst eintritt
}
mail-next = Was als Nächstes fällig wird:
mail-next-line = { $services }: fällig am { $due }, frühestens am { $opens }, spätestens am { $closes }
mail-certificate = Das Zertifikat dieser Garantie liegt dieser E-Mail als PDF bei.
mail-verify = Hier kann jeder diese Garantie prüfen
mail-history = Alles, was an Ihrem Fahrzeug gemacht wurde, als PDF
mail-sheets = Sicherheitsdatenblätter der verwendeten Produkte ({ $products }) senden wir Ihnen gern: Antworten Sie einfach auf diese E-Mail.

# Die ersten Tage. Was zu tun und zu lassen ist, ist Brauch im Handwerk, nicht das Wort eines Datenblatts.
mail-aftercare-subject = { $vehicle }: Pflege in den ersten Tagen, ab { $date }
mail-aftercare = Die Beschichtung Ihres Fahrzeugs härtet noch aus. Darauf kommt es in diesen Tagen an:
mail-ask-us-first = fragen Sie uns vorher
mail-aftercare-until-then = Bis sie ausgehärtet ist:
mail-aftercare-dry = Halten Sie das Fahrzeug trocken und möglichst unter Dach. Wird es doch nass, tupfen Sie das Wasser mit einem sauberen, weichen Tuch ab; nicht reiben.
mail-aftercare-droppings = Entfernen Sie Vogelkot, Insekten und Baumharz bald: mit einem nassen, weichen Tuch einweichen und abheben, ohne zu reiben.
mail-aftercare-no-brushes = Keine Waschanlage mit Bürsten, weder jetzt noch später.
mail-aftercare-no-heat = Niemals eine heiße Oberfläche waschen oder abwischen, auch nicht in praller Sonne.
mail-aftercare-no-polish = Kein Wachs, keine Politur und kein anderes Mittel auf die Beschichtung, ohne uns zu fragen.
mail-aftercare-estimates = Diese Tage sind Schätzungen aus den Datenblättern der Produkte und dem, was wir vom Wetter wissen. Wo ein Datenblatt oder Sicherheitsdatenblatt etwas anderes sagt, geht es dieser E-Mail vor.

# Die erste Wäsche ist möglich. Wie man wäscht, ist Brauch im Handwerk.
mail-wash-from-subject = { $vehicle }: Waschen möglich ab { $date }
mail-wash-from = Die Beschichtung, mit der wir Ihr Fahrzeug am { $handed-over } übergeben haben, ist weit genug ausgehärtet: Ab dem { $from } können Sie es waschen.
mail-wash-how = Damit sie so bleibt, waschen Sie schonend:
mail-wash-cool = Im Schatten, auf kühler Oberfläche.
mail-wash-rinse = Spülen Sie zuerst mit viel Wasser, damit Sand und Staub ablaufen, bevor Sie den Lack berühren.
mail-wash-buckets = Zwei Eimer: einer mit pH-neutralem Shampoo, einer mit klarem Wasser zum Ausspülen des Handschuhs. Ein weicher Waschhandschuh statt eines Schwamms, von oben nach unten.
mail-wash-wheels = Die Räder zuletzt, mit eigenem Tuch oder eigener Bürste.
mail-wash-dry = Trocknen Sie mit einem weichen, sauberen Mikrofasertuch.
mail-wash-no-brushes = Keine Waschanlage mit Bürsten, kein Küchenschwamm, keine scharfen Reiniger.
mail-care-sheets-above = Das ist allgemeiner Brauch. Wo das Datenblatt oder Sicherheitsdatenblatt eines Produkts etwas anderes sagt, geht es dieser E-Mail vor.

# Ein Blick nach den ersten Wochen.
mail-first-look-subject = { $vehicle }: ein Blick nach den ersten Wochen, übergeben am { $date }
mail-first-look = Wir haben Ihnen Ihr Fahrzeug am { $handed-over } übergeben. In den ersten Wochen zeigt sich, ob die Beschichtung überall gleichmäßig liegt: Wo zu viel davon ist, fallen bei flachem Licht dunkle oder schillernde Flecken auf.
mail-first-look-bring = Kommen Sie zu einem kurzen Blick unter unseren Lampen vorbei. Je früher eine solche Stelle gefunden wird, desto leichter lässt sie sich beheben.

# Vor dem Winter. Brauch im Handwerk.
mail-winter-subject = { $vehicle }: Pflege vor dem Winter, { $date }
mail-winter = Bevor das Streusalz kommt, ein paar Dinge, die der Beschichtung durch den Winter helfen:
mail-winter-salt = Spülen Sie Salz und Straßenschmutz oft ab, zuerst an Schwellern, Radkästen und Rädern.
mail-winter-frost = Waschen Sie nur bei Temperaturen über dem Gefrierpunkt und trocknen Sie danach die Türdichtungen.
mail-winter-ice = Kratzen Sie kein Eis vom Lack und schieben Sie Schnee nicht mit harten Kanten herunter: Lassen Sie es tauen, oder nehmen Sie für losen Schnee einen weichen Besen.
mail-winter-hot-water = Kein heißes Wasser auf gefrorene Scheiben oder Lackflächen.

# Im Frühjahr. Brauch im Handwerk.
mail-spring-subject = { $vehicle }: Pflege im Frühjahr, { $date }
mail-spring = Der Winter ist vorbei: ein paar Dinge, mit denen die Beschichtung wieder in Bestform kommt:
mail-spring-wash = Waschen Sie einmal gründlich, mit viel Wasser vor der ersten Berührung, damit Salz und Sand ablaufen.
mail-spring-wheels = Reinigen Sie Räder und Radkästen, wo sich Bremsstaub und Salz gesammelt haben.
mail-spring-pollen = Spülen Sie Pollen und Baumharz ab, wischen Sie sie nicht trocken weg.
mail-spring-look = Achten Sie darauf, ob das Wasser noch überall so abläuft wie zuvor. Wo nicht, sagen Sie uns Bescheid, bevor Sie etwas auftragen.

# Garantieschutz läuft ab.
mail-ending-subject = { $vehicle }: Garantieschutz für { $surfaces } endet am { $date }
mail-ending = Der Schutz der Garantie { $warranty } läuft ab für:
mail-ending-still = Danach steht weiterhin unter Garantie:
mail-ending-nothing-left = Danach steht nichts mehr unter dieser Garantie.

# Der Garantieschutz hat sich geändert.
mail-transferred-subject = { $vehicle }: Eigentümerwechsel, seit { $date }
mail-transferred = Seit dem { $date } ist das Fahrzeug auf den neuen Eigentümer eingetragen. Die Garantie { $warranty } geht mit.
mail-transferred-ends = Seit dem { $date } ist das Fahrzeug auf den neuen Eigentümer eingetragen. Nach ihren Bedingungen hat die Garantie { $warranty } damit geendet.
mail-panel-out-subject = { $vehicle }: nicht mehr unter Garantie: { $panel }, seit { $date }
mail-panel-out = Seit dem { $date } steht dies nicht mehr unter Garantie { $warranty }, weil es instand gesetzt oder neu lackiert wurde: { $place }. Wenn Sie es wieder beschichten lassen möchten, fragen Sie uns, ob die Bedingungen es wieder aufnehmen.
mail-panel-back-subject = { $vehicle }: wieder unter Garantie: { $panel }, seit { $date }
mail-panel-back = Seit dem { $date } steht dies wieder unter Garantie { $warranty }, weil es neu beschichtet wurde: { $place }.
mail-on-hold-subject = { $vehicle }: Garantieschutz für { $surfaces } ruht seit { $date }
mail-on-hold = Seit dem { $date } ruht der Schutz der Garantie { $warranty } für { $surfaces }.
mail-on-hold-ask = Fragen Sie uns, womit er wieder gilt.
mail-back-in-force-subject = { $vehicle }: Garantieschutz für { $surfaces } gilt wieder, seit { $date }
mail-back-in-force = Seit dem { $date } gilt der Schutz der Garantie { $warranty } für { $surfaces } wieder.
mail-back-in-force-by = Damit gilt er wieder: { $service }.
mail-ended-subject = { $vehicle }: Garantieschutz für { $surfaces } beendet, { $date }
mail-ended = Am { $date } hat der Schutz der Garantie { $warranty } für { $surfaces } geendet.
mail-recalled-subject = { $vehicle }: Rückruf von { $product }, { $date }
mail-recalled = Am { $date } wurde die Charge { $batch } von { $product } zurückgerufen. An Ihrem Fahrzeug betrifft das: { $panels }.
mail-recalled-what-now = Bitte melden Sie sich bei uns: Wir sehen es uns gemeinsam an und sagen Ihnen, was zu tun ist.

# Ein angeforderter Link.
mail-link-transfer-subject = { $vehicle }: Eigentümerwechsel bestätigen
mail-link-claim-subject = { $vehicle }: Problem melden
mail-link-transfer = Sie haben einen Link angefordert, um uns einen Eigentümerwechsel mitzuteilen. Es ändert sich nichts, bevor Sie es dort bestätigen.
mail-link-claim = Sie haben einen Link angefordert, um ein Problem zu melden, das unter die Garantie fällt. Es wird nichts an uns gesendet, bevor Sie es dort bestätigen.
mail-link-good-for = Der Link gilt einmal, und zwar { $minutes } lang ab der Anforderung.
mail-link-not-asked = Wenn Sie ihn nicht angefordert haben, brauchen Sie nichts zu tun.
