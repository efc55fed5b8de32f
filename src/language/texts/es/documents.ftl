# On every document.
paper-page = Página { $page } de { $pages }
paper-vehicle = Vehículo
paper-vin = N.º de bastidor
paper-plate = Matrícula
paper-odometer = Cuentakilómetros
paper-job = Trabajo
paper-surface = Superficie
paper-address = Dirección
paper-phone = Teléfono
paper-email = Correo electrónico
paper-record = Número en el registro
paper-digest = Su SHA-256

# What terms ask for.
terms-by-owner = cualquiera, también usted
terms-by-shop = cualquier taller especializado
terms-by-accredited = un taller autorizado por { $issuer }
terms-when = Cuándo
terms-first = Primera vez
terms-window = Plazo
terms-who = Quién lo hace
terms-surfaces = Para
terms-missed = Si se omite
terms-once = Una sola vez
terms-every-start = Un intervalo de { $period }, contando desde el inicio de la garantía
terms-every-last = Un intervalo de { $period }, contando desde la última vez
terms-or-distance = { $when }, o tras { $distance }, lo que ocurra primero
terms-window-early = Desde { $early } antes de la fecha prevista hasta ese día
terms-window-late = Hasta { $late } después de la fecha prevista
terms-window-both = Desde { $early } antes de la fecha prevista hasta { $late } después
terms-miss = Omisión n.º { $number }: { $what }
terms-miss-on = Omisión n.º { $number } y siguientes: { $what }
terms-note = Queda anotado. La garantía no cambia.
terms-end = La garantía termina.
terms-shorten = La garantía termina { $period } antes.
terms-suspend = La garantía queda en suspenso hasta que se subsane con: { $services }. Puede hacerlo { $by }.
terms-suspend-within = La garantía queda en suspenso. Vuelve a estar vigente si se subsana en un plazo de { $period } con: { $services }; puede hacerlo { $by }. Si no, termina.
terms-breach = { $key }: { $what }
terms-breach-on = { $key } ({ $surfaces }): { $what }
terms-transfer-free = La garantía acompaña al vehículo, sin límite de propietarios. No hay que hacer nada para ello.
terms-transfer-none = Solo está cubierto el primer propietario. La garantía termina al vender el vehículo.
terms-transfer-any = La garantía acompaña al vehículo, sin límite de propietarios.
terms-transfer-owners = La garantía acompaña al vehículo, hasta { $owners } propietarios en total, contando el primero.
terms-transfer-tell = Comunique la venta al taller en un plazo de { $period }.
terms-transfer-inspect = Haga inspeccionar el vehículo en un plazo de { $period } tras la venta. Puede hacerlo { $by }.
terms-repair = Una pieza reparada o repintada queda fuera de la garantía desde ese día, hasta que se vuelva a recubrir.
terms-repair-within = Una pieza reparada o repintada queda fuera de la garantía desde ese día. Vuelve a estar cubierta si se recubre de nuevo en un plazo de { $period }.
terms-repair-never = Una pieza reparada o repintada queda fuera de la garantía desde ese día.

# The certificate of a warranty.
certificate-kind = Certificado de garantía
certificate-lead = Garantía de { $shop } sobre el recubrimiento de este vehículo
certificate-description = Garantía { $number } de { $shop } sobre el recubrimiento del vehículo { $vehicle }: cobertura, mantenimiento, reclamaciones y derechos.
certificate-foot = Compruebe este certificado en { $address }
certificate-code = Escanee para ver el estado actual
certificate-code-alt = Código que abre { $address }
certificate-issued-to = Expedido a
certificate-issued-on = Expedido el
certificate-start = La garantía empieza el
certificate-terms = Condiciones
certificate-edition = { $code }, edición { $edition }
certificate-void = Esta garantía no es válida
certificate-void-since = Se expidió por error y no cubre nada. No es válida desde el { $day }.
certificate-replaced = Esta garantía ha sido sustituida
certificate-replaced-by = La garantía { $number } ha ocupado su lugar.
certificate-cover = Qué cubre la garantía y hasta cuándo
certificate-cover-lead = La garantía empieza el { $day } con el cuentakilómetros en { $distance }. Cada superficie está cubierta hasta su último día inclusive o hasta su distancia, lo que ocurra primero.
certificate-panels = Piezas cubiertas
certificate-last-day = Último día
certificate-up-to = Distancia
certificate-km = { $distance } desde el inicio
certificate-no-limit = sin límite
certificate-cover-note = Tal como se prometió el día de la expedición. Lo ocurrido desde entonces puede modificarlo; el código de arriba muestra el estado actual.
certificate-not-covered = Qué no cubre
certificate-left-out = Piezas excluidas ({ $surface }): { $panels }
certificate-rest = Toda superficie y pieza que no se nombra arriba
certificate-remedy = Qué hacemos si el recubrimiento falla
certificate-remedy-silent = Estas condiciones no indican una prestación propia. Se aplica lo que la ley le concede; véase «Sus derechos».
certificate-claim = Cómo reclamar
certificate-report = Avise a { $shop } en cuanto note un defecto.
certificate-report-within = Avise a { $shop } en un plazo de { $period } desde que note un defecto.
certificate-bring = Tenga a mano este certificado o su número y deje que el taller vea el vehículo.
certificate-work-by = Los trabajos en garantía los realiza { $shop }, o un taller que este le indique.
certificate-guarantor = Garante
certificate-upkeep = Qué debe hacer usted para conservarla
certificate-upkeep-lead = La garantía depende del mantenimiento siguiente. Guarde las facturas de lo que hagan otros.
certificate-upkeep-none = No se exige ningún mantenimiento.
certificate-entry = Un servicio debe quedar registrado en un plazo de { $period } desde que se hizo. Después, el taller debe confirmarlo.
certificate-breaches = Qué más afecta a la garantía
certificate-transfer = Si vende el vehículo
certificate-repair = Si se repara una pieza
certificate-care = Cuidados y precauciones
certificate-care-fresh = Mientras el recubrimiento esté fresco, manténgalo seco y no lo lave hasta el día que le indicó el taller.
certificate-care-products = Use los productos de cuidado como indican su etiqueta y su ficha de seguridad: lleve guantes, ventile y no trabaje nunca sobre piezas calientes.
certificate-care-ice = No rasque el hielo de las piezas recubiertas ni vierta agua caliente sobre ellas. El agua de lavado se hiela: cuidado al pisar.
certificate-law = Sus derechos
certificate-law-remedies = Si los bienes no son conformes con el contrato, la ley le concede medidas correctoras frente al vendedor, sin coste alguno. Esta garantía no les afecta.
certificate-law-rights = Esta garantía le otorga derechos concretos, y puede tener además otros que varían de un Estado a otro.
certificate-law-implied = Este certificado no limita la duración de las garantías implícitas. Si lo hacen otros documentos del vendedor: algunos Estados no permiten tales límites, de modo que pueden no aplicarse a usted.
certificate-law-damages = Este certificado no excluye ni limita los daños incidentales o consecuentes. Si lo hacen otros documentos del vendedor: algunos Estados no lo permiten, de modo que puede no aplicarse a usted.
certificate-law-dispute = No está obligado a pasar por ningún procedimiento de resolución de conflictos antes de acudir a los tribunales.
certificate-law-card = No tiene que devolver ninguna tarjeta de registro: la garantía no depende de ello.
certificate-law-territory = La garantía vale dondequiera que esté el vehículo. El derecho del consumidor prevalece sobre estas condiciones.
certificate-seal = Prueba
certificate-seal-lead = El taller no puede cambiar esta promesa sin que se note: consta en su registro, y las condiciones se identifican por su resumen criptográfico. Una copia firmada puede comprobarse sin preguntar al taller.
certificate-terms-digest = SHA-256 de las condiciones
certificate-verify = Compruébelo en
certificate-keys = Claves de las copias firmadas

# The winter card: care of a fresh coating.
winter-card-kind = Tarjeta de cuidados
winter-card-heading = Recubrimiento fresco: manténgalo seco
winter-card-lead = Para { $vehicle }, recubierto por { $shop }
winter-card-description = Cuándo puede mojarse y cuándo puede lavarse el recubrimiento fresco de { $vehicle }.
winter-card-foot = Las horas son estimaciones. En caso de duda, pregunte a { $shop }.
winter-card-leaves = Sale del taller
winter-card-water = Mantener seco hasta
winter-card-wash = Primer lavado desde
winter-card-cured = Curado por completo desde
winter-card-unknown = aún no se sabe: pregúntenos
winter-card-estimates = Estas horas son estimaciones. Se calculan con lo medido en el taller y el último tiempo medido fuera; con más frío se retrasan. Todas las horas son de { $zone }.
winter-card-panels = Pieza por pieza
winter-card-panel = Pieza
winter-card-covered = ahora: lleva encima una capa resistente a la lluvia
winter-card-may-get-wet = ya no hace falta: ya puede mojarse
winter-card-now = ahora
winter-card-never = Hasta entonces, nunca
winter-card-never-wash = lavarlo, ni en túnel ni a mano
winter-card-never-rub = frotar, pulir ni quitar polvo de una pieza seca
winter-card-never-snow = barrer nieve ni rascar hielo; deje que se derrita solo, bajo techo y con el motor parado
winter-card-never-cover = ponerle una funda
winter-card-never-chemicals = usar productos químicos, cera ni descongelante
winter-card-wet = Si aun así se moja
winter-card-wet-text = No deje que se sequen las gotas. Absórbalas con un paño limpio y suave, sin apretar, y déjelo bajo techo. Excrementos de ave y sal de carretera: llámenos el mismo día.
winter-card-after = El primer lavado
winter-card-after-text = A mano, a la sombra, con champú de pH neutro, dos cubos y una manopla suave. Sin cepillos. Seque con una toalla suave.
winter-card-safety = El agua de lavado se hiela: no lave con heladas y cuidado al pisar. No fuerce una puerta helada.

# The label in the door frame.
door-label-kind = Etiqueta de puerta
door-label-description = Etiqueta para el marco de la puerta de { $vehicle }: el código muestra qué lleva y cómo se lava.
door-label-heading = Este vehículo está recubierto
door-label-code = Escanee antes de lavar o pulir: qué lleva cada pieza y qué tolera.
door-label-code-alt = Código que abre la página de este vehículo

# A job, on its sheet, in the history and in the dispute file.
paper-owner = Propietario
job-stands = Estado
job-state = { $state ->
    [open] abierto
    [signed_off] firmado
    [handed_over] entregado
   *[cancelled] cancelado
}
job-taken-in = Recibido
job-signed-off = Firmado
job-signed-off-by = { $at }, por { $by }
job-handed-over = Entregado
job-excluded = Excluidas
job-panel = Pieza
job-note = Nota
job-marks = Marcas a la recepción
job-marks-none = No se anotó ninguna marca.
job-mark = Marca
job-size = Tamaño
job-mark-kind = { $kind ->
    [scratch] arañazo
    [scuff] rozadura
    [stone_chip] impacto de piedra
    [dent] abolladura
    [crack] grieta
    [swirl] microarañazos
    [etching] corrosión química
    [water_spot] mancha de agua
    [overspray] niebla de pintura
    [stain] mancha
    [corrosion] óxido
    [peeling] desprendimiento
    [kerb_damage] roce de bordillo
    [tear] desgarro
   *[other] otra
}
job-paint = Mediciones de pintura
job-paint-before = Antes de pulir
job-paint-after = Después de pulir
job-paint-mean = { $count ->
    [one] { $mean } µm ({ $count } medición)
   *[other] { $mean } µm ({ $count } mediciones)
}
job-paint-alt = { $count ->
    [one] El vehículo visto desde arriba, con la media de las mediciones de { $count } pieza, como en la tabla.
   *[other] El vehículo visto desde arriba, con la media de las mediciones de { $count } piezas, como en la tabla.
}
job-steps = Preparación
job-when = Cuándo
job-step = Paso
job-where = Dónde
job-with = Con
job-by = Por
job-coats = Capas
job-product = Producto
job-batch = Lote
job-sheet-edition = ficha técnica, edición { $edition }
job-climate = Clima
job-air = Aire
job-humidity = Humedad
job-panel-temperature = Pieza
job-place = Lugar
job-climate-range = { $count ->
    [one] { $count } medición: aire de { $coldest } a { $warmest } °C, humedad relativa de { $driest } a { $dampest } %.
   *[other] { $count } mediciones: aire de { $coldest } a { $warmest } °C, humedad relativa de { $driest } a { $dampest } %.
}
job-checks = Comprobaciones
job-checks-none = Las comprobaciones no hallaron nada.
job-photos = Fotografías
job-photo = Vehículo
job-photo-alt = Fotografía del trabajo { $number }: { $shows }

# The job sheet.
job-sheet-kind = Hoja de trabajo
job-sheet-heading = Hoja de trabajo de { $vehicle }
job-sheet-description = Trabajo { $number } en el vehículo { $vehicle }: precauciones, hallazgos, preparación, clima, capas y firma.
job-found = Cómo llegó
job-done = Qué se hizo
job-cautions = Precauciones
job-cautions-sheets = De las fichas técnicas
job-caution-first = Deciden la ficha de datos de seguridad de cada producto y las normas locales. Léalas antes de abrir el envase.
job-caution-gloves = Guantes, protección ocular y manga larga según la ficha de seguridad. Cambie los guantes que se mojen por dentro.
job-caution-air = Disolventes: ventile o aspire los vapores a ras de suelo. Sin llamas, chispas, calefactores incandescentes ni tabaco cerca. Dolor de cabeza o mareo: salga al aire libre.
job-caution-isocyanates = Isocianatos: solo personal formado, con el equipo respiratorio que indica la ficha de seguridad; nadie más en la sala hasta ventilarla. Quien haya reaccionado una vez, que no se acerque.
job-caution-rags = Los paños empapados en disolvente o recubrimiento pueden arder por sí solos: a un cubo metálico cerrado, y fuera del edificio por la noche.
job-caution-mixing = No mezcle nunca limpiadores. Ácido y cloro desprenden gas tóxico; el quitahierro no va sobre discos calientes ni pintura seca.
job-caution-lamps = Lámparas de infrarrojos: protección ocular, la distancia de la ficha técnica y nunca sin vigilancia. Nada inflamable cerca.
job-caution-footing = El suelo mojado o helado resbala. Un vehículo elevado descansa en caballetes; en uno alto se trabaja desde una plataforma, no desde el estribo ni la rueda.
job-sign-off = Firma
job-sign-off-open = Aún sin firmar.
job-line-name = Nombre
job-line-day = Día y hora
job-line-signature = Firma

# The history of a vehicle.
history-kind = Historial de servicio
history-heading = Historial de { $vehicle }
history-lead = A fecha de { $day }
history-description = Qué se hizo en el vehículo { $vehicle } y cómo está su garantía el { $day }.
history-warranty = Garantía { $number }
history-state = Estado
history-from = Desde
history-state-of = { $state ->
    [not_begun] aún no empieza
    [in_force] vigente
    [suspended] en suspenso
   *[ended] terminada
}
history-cause = { $cause ->
    [transfer] vehículo vendido
    [closed] vehículo dado de baja
    [distance] distancia alcanzada
    [missed] mantenimiento omitido
    [breach] hecho que afecta a la garantía
    [shortened] acortada
   *[expired] plazo cumplido
}
history-cover-alt = Garantía { $number } en el tiempo: una barra por superficie y una marca por vencimiento, como en las tablas.
history-panel-out = { $panel } ({ $surface }): fuera de la garantía desde el { $since }
history-panel-back = { $panel } ({ $surface }): fuera de la garantía desde el { $since }, cubierta de nuevo desde el { $until }
history-dues = Mantenimiento
history-rule = Regla
history-opens = Plazo desde
history-due = Fecha prevista
history-closes = Plazo hasta
history-due-status = { $status ->
    [ahead] por venir
    [open] abierto
    [late] con retraso
    [missed] omitido
    [met] cumplido
   *[waived] dispensado
}
history-jobs = Recubrimientos
history-jobs-none = No consta ningún trabajo.
history-happened = Visitas y hechos
history-happened-none = No consta nada.
history-day = Día
history-what = Qué
history-by-owner = el propietario
history-by-other = otro taller
history-outcome = { $outcome ->
    [in_order] En orden
    [in_order_with_advice] En orden, con recomendación
   *[finding] Hallazgo
}
history-figure = { $name ->
    [contact_angle_deg] ángulo de contacto (°)
    [roll_off_deg] ángulo de deslizamiento (°)
    [gloss_gu] brillo (GU)
   *[delta_e_00] cambio de color ΔE00
}
history-proof = Visto: { $proof }
history-not-as-asked = { $service }, no como piden las condiciones
history-reading = Lectura del cuentakilómetros
history-sold = Vendido; comunicado al taller el { $day }
history-sold-not-told = Vendido; no se comunicó al taller
history-repair = Reparada o repintada: { $panel } ({ $surface })
history-recoat = Recubierta de nuevo: { $panel } ({ $surface })
history-breach = Hecho que afecta a la garantía: { $key }
history-waived = Dispensado: { $due }
history-extended = { $due } ampliado hasta el { $day }
history-closed = Dado de baja
history-retraction = Se retiró una anotación

# The dispute file.
dispute-kind = Expediente de prueba
dispute-heading = Todo lo que consta de { $vehicle }
dispute-lead = Reunido el { $at } ({ $zone })
dispute-description = Garantías con sus motivos, trabajos, fotografías, hechos y registros del vehículo { $vehicle }.
dispute-reasons = Por qué está así
dispute-job = Trabajo { $number }
dispute-entered = Anotado
dispute-entry = { $at }, registro { $seq }
dispute-retracted = Retirado: { $what }
dispute-records = Registros
dispute-records-lead = Cada documento del que alguien responde consta una vez en el registro del taller, con su lugar y el SHA-256 de lo que dice. Ninguno puede cambiarse sin que se note.
dispute-seq = N.º
dispute-document = Documento
dispute-because = Motivo: { $reason }
dispute-countersigned = Anotado tarde; el responsable lo confirmó.
dispute-imported = Tomado de los archivos anteriores del taller.
dispute-instead = Sustituye a lo que dice el registro { $seq }.
dispute-takes-back = Retira lo que dice el registro { $seq }.
dispute-owners = Propietarios
dispute-owner = Como
dispute-owner-kind = { $kind ->
    [stock] existencias de un concesionario
   *[owner] propietario
}
dispute-owner-until = Hasta
dispute-job-opened = Abierto
dispute-job-cancelled = Anulado porque
dispute-finishes = Otro acabado
dispute-finish-is = { $finish ->
    [clear_coat] barniz
    [matte] mate
    [single_stage] monocapa
   *[film] lámina
}
dispute-old-coating = Llegó con un recubrimiento
dispute-readings = Cada lectura
dispute-section-applied = Aplicado
dispute-section-levelled = Nivelado
dispute-section-by-eye = a ojo
dispute-bottles = Productos y lotes
dispute-batch = El lote hoy
dispute-batch-unknown = no registrado
dispute-batch-state = { $state ->
    [usable] utilizable
    [quarantined] en cuarentena
   *[recalled] retirado
}
dispute-batch-made = Fabricado
dispute-batch-opened = Envase abierto
dispute-batch-expires = Usar hasta
dispute-passes = Admitido por el responsable y cambiado después
dispute-signatures = Firmas del propietario
dispute-signatures-none = El propietario no firmó nada.
dispute-signed = { $occasion ->
    [check_in] Firmado en la recepción
   *[handover] Firmado en la entrega
}
dispute-signed-document = SHA-256 de lo firmado
dispute-signature-alt = Firma de { $name }, trazada a mano
dispute-addenda = Anotado después de la firma
dispute-afterwards = anotada después de la firma
dispute-inspection = Inspección del { $day }
dispute-inspection-worked-out = Calculado de lo medido
dispute-inspection-decided = El inspector decidió otra cosa
dispute-inspection-remedy = Qué se hace al respecto
dispute-inspection-remedy-is = { $remedy ->
    [decontaminate_and_top_up] descontaminar y reforzar
    [recoat_panel] recubrir de nuevo la pieza
   *[claim] reclamación
}
dispute-water-arrived = Agua, como llegó
dispute-water-decontaminated = Agua, tras descontaminar
dispute-water = { $water ->
    [beading] perlas que escurren
    [sheeting] escurre de golpe en lámina
    [slow] escurre despacio
   *[flat] queda plana y no se va
}
dispute-measured = Medido
dispute-measured-first = Primer valor
dispute-measured-allowed = Permitido
dispute-visit-photos = Fotografías de la visita del { $day }
dispute-visit-photo-alt = Fotografía de la visita del { $day }: { $shows }
dispute-appointments = Citas
dispute-appointment-for = Para
dispute-appointment-state = { $state ->
    [booked] concertada
    [kept] cumplida
    [missed] incumplida
   *[cancelled] anulada
}
dispute-answers = Qué respondió el propietario
dispute-answer = Respuesta
dispute-answer-was = { $answer ->
    [will_come] vendrá
    [ask_again] pide que se le pregunte de nuevo
    [elsewhere] lo hace en otro sitio
    [declined] no quiso
   *[not_reached] no se le localizó
}
dispute-reports = Qué se comunicó
dispute-report-kind = { $kind ->
    [booking] El propietario pidió cita
    [problem] El propietario comunicó un problema
    [sold] El propietario comunicó la venta
    [door_wash] Lavado anotado en el vehículo
   *[door_repair] Reparación anotada en el vehículo
}
dispute-report-told = Comunicado
dispute-report-at-vehicle = alguien junto al vehículo
dispute-report-words = En sus palabras
dispute-report-buyer = Comprador
dispute-report-desk = El taller
dispute-settled = lo resolvió el { $at }, { $by }
dispute-open = aún no lo ha resuelto
dispute-notices = Qué se comunicó al propietario
dispute-notice-planned = Previsto para
dispute-notice = Aviso
dispute-notice-to = Para
dispute-notice-because = Por qué
dispute-notice-kind = { $kind ->
    [record] Qué se hizo
    [aftercare] Cuidados tras la entrega
    [wash-from] Primer lavado
    [first-look] Primera revisión
    [upcoming] Mantenimiento próximo
    [booked] Cita concertada
    [last-call] Último aviso
    [missed] Mantenimiento omitido
    [season] Temporada
    [ending] Fin de la garantía
    [changed] Cambio de la garantía
    [sign-in] Inicio de sesión
   *[link] Enlace solicitado
}
dispute-notice-state = { $state ->
    [planned] previsto
    [queued] escrito
    [sending] enviándose
    [sent] enviado
    [failed] fallido
    [suppressed] retenido
    [cancelled] anulado
    [stale] ya no es cierto
   *[dropped] omitido
}
dispute-mail = correo { $number }
dispute-mails = Los correos
dispute-mails-lead = Cada correo se guarda byte a byte como se escribió, con lo adjunto. Quien lo recibió puede comparar el Message-ID y el SHA-256.
dispute-mail-way = Su camino
dispute-mail-proof = Se reconoce por
dispute-mail-bytes = { $count ->
    [one] { $count } byte en total
   *[other] { $count } bytes en total
}
dispute-mail-written = escrito { $at }
dispute-mail-sent = aceptado por un servidor de correo { $at }
dispute-mail-attempts = { $count ->
    [one] { $count } intento
   *[other] { $count } intentos
}
dispute-tasks = Qué tenía que hacer el taller
dispute-task-kind = { $kind ->
    [notice_failed] Un correo no se pudo entregar
    [appointment_missed] El propietario no vino
    [remedy] Una inspección halló algo
    [booking_requested] El propietario quiere venir
    [problem_reported] El propietario comunicó un problema
    [sold_reported] El propietario comunicó la venta
   *[door_note] Anotado en el vehículo
}
dispute-log = { $count ->
    [one] Al reunir este expediente, el registro del taller tenía { $count } documento. De él se puede calcular la raíz del árbol de Merkle (RFC 9162): si sale otra, algo se cambió.
   *[other] Al reunir este expediente, el registro del taller tenía { $count } documentos. De ellos se puede calcular la raíz del árbol de Merkle (RFC 9162): si sale otra, algo se cambió.
}
dispute-log-head = Raíz del registro
