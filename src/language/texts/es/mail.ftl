# Lo que dicen los correos a los propietarios. Un asunto dice: vehículo, qué, fecha.
mail-subject-more = { $count ->
    [one] { $subject } (y un aviso más)
   *[other] { $subject } (y { $count } avisos más)
}
mail-subject-drill = [Simulacro] { $subject }
mail-drill = Este correo forma parte de un simulacro. Nada de lo que dice es real.
mail-greeting = Estimado/a { $name }:
mail-regards = Un cordial saludo,
mail-reach = { $what ->
    [day] Para concertar una cita, responda a este correo.
    [booking] Si la cita ya no le viene bien, responda a este correo.
   *[question] Si tiene alguna pregunta, responda a este correo.
}
mail-reach-by-phone = { $what ->
    [day] Para concertar una cita, responda a este correo o llámenos: { $phone }.
    [booking] Si la cita ya no le viene bien, responda a este correo o llámenos: { $phone }.
   *[question] Si tiene alguna pregunta, responda a este correo o llámenos: { $phone }.
}
mail-no-upkeep = No recibir más correos sobre mantenimiento
mail-no-history = No recibir más correos sobre trabajos realizados
# El asunto del correo con el que se dan de baja; lo lee el taller.
mail-unsubscribe = No deseo recibir más correos como este
mail-consumer-law = La legislación de consumo prevalece sobre estas condiciones: nada de lo que dicen le quita un derecho que ella le da.

# Cómo figuran los datos y los enlaces en texto sin formato.
mail-fact = { $name }: { $value }
mail-link = { $label }:

# Lo que hace un enlace, como invitación.
mail-do-book = Reservar una cita
mail-do-change-booking = Cambiar o anular la cita
mail-do-open-page = Abrir la página de su vehículo
mail-do-confirm-transfer = Confirmar el nuevo propietario
mail-do-report-claim = Comunicar el problema

# Nombres de los datos.
mail-fact-what = Servicio
mail-fact-due = Fecha prevista
mail-fact-from = Plazo desde
mail-fact-until = Plazo hasta
mail-fact-distance = Y como máximo a los
mail-fact-terms = Condiciones
mail-fact-day = Cita
mail-fact-place = Lugar
mail-fact-keep-dry = Mantener seco hasta
mail-fact-first-wash = Primer lavado desde
mail-fact-full-cure = Curado completo
mail-clause = «{ $title }», { $clause }
mail-by-terms = Condiciones { $clause }

# Se acerca una fecha.
mail-upcoming-subject = { $vehicle }: { $services }, fecha prevista { $date }
mail-upcoming-keeps = Con ello se mantiene la cobertura de lo siguiente: { $surfaces }.
mail-who = { $by ->
    [accredited] Debe hacerlo un taller acreditado.
    [shop] Debe hacerlo un taller.
   *[owner] Puede hacerlo usted o encargarlo.
}
mail-if-missed-note = Si no se hace, queda anotado y su cobertura no cambia.
mail-if-missed-end = Si no se hace, termina la cobertura de: { $surfaces }.
mail-if-missed-shorten = Si no se hace, termina { $period } antes la cobertura de: { $surfaces }.
mail-if-missed-suspend = { $by ->
    [accredited] Si no se hace, la cobertura ({ $surfaces }) queda en suspenso hasta que un taller acreditado realice lo siguiente: { $with }.
    [shop] Si no se hace, la cobertura ({ $surfaces }) queda en suspenso hasta que un taller realice lo siguiente: { $with }.
   *[owner] Si no se hace, la cobertura ({ $surfaces }) queda en suspenso hasta que se realice lo siguiente: { $with }.
}
mail-if-missed-suspend-within = El plazo para ello es de { $period }; pasado ese plazo, la cobertura termina.

# El plazo termina pronto.
mail-last-call-subject = { $vehicle }: último aviso, { $services } hasta el { $date }
mail-last-call-open = Todavía no nos consta que se haya hecho en este plazo: { $services }. El último día posible es el { $closes }.

# Algo no se hizo a tiempo.
mail-missed-subject = { $vehicle }: { $services }, fuera de plazo desde el { $date }
mail-missed-by-day = No nos consta que se haya hecho hasta el { $closes }: { $services }. Desde el { $since } se considera fuera de plazo.
mail-missed-by-distance = No nos consta que se haya hecho antes de que el vehículo recorriera { $distance }: { $services }. Desde el { $since } se considera fuera de plazo.
mail-cost-note = Queda anotado. Su cobertura no cambia.
mail-cost-end = Con ello terminó la cobertura de: { $surfaces }.
mail-cost-shorten = La cobertura ({ $surfaces }) termina antes de lo previsto; se acorta en { $period }.
mail-cost-suspend = { $by ->
    [accredited] La cobertura ({ $surfaces }) está en suspenso desde el { $since }. Vuelve a estar en vigor el día en que un taller acreditado realice lo siguiente: { $with }.
    [shop] La cobertura ({ $surfaces }) está en suspenso desde el { $since }. Vuelve a estar en vigor el día en que un taller realice lo siguiente: { $with }.
   *[owner] La cobertura ({ $surfaces }) está en suspenso desde el { $since }. Vuelve a estar en vigor el día en que se realice lo siguiente: { $with }.
}
mail-cost-suspend-until = El último día para ello es el { $until }; después, la cobertura termina definitivamente.
mail-missed-if-done = Si se hizo a tiempo y no lo sabemos, envíenos la factura: lo corregiremos.

# Hay una cita.
mail-booked-subject = { $vehicle }: cita para el { $date }
mail-booked-again-subject = { $vehicle }: le esperamos el { $date }
mail-booked = Su cita está reservada.
mail-booked-again = Le recordamos su cita.
mail-booked-calendar = Este correo lleva un archivo de calendario: ábralo para guardar la cita en su calendario.

# Lo que se hizo.
mail-record-handover-subject = { $vehicle }: lo que hemos hecho, { $date }
mail-record-warranty-subject = { $vehicle }: lo que hemos hecho y su garantía, { $date }
mail-record-visit-subject = { $vehicle }: lo que hemos hecho en su visita, { $date }
mail-record-elsewhere-subject = { $vehicle }: hecho en otro lugar y ya registrado, { $date }
mail-done-step = { $step } con { $product }
mail-done-coat = { $product } sobre { $place }, lote { $batch }
mail-done-by-owner = { $service }, por usted
mail-done-by = { $service }, por { $name }
mail-done-not = { $service } (no se pudo hacer)
mail-place = { $surface } ({ $panels })
mail-covered = Lo que está cubierto:
mail-covered-by = Lo que cubre la garantía { $warranty }:
mail-cover-until = { $hold ->
    [yes] en suspenso; hasta el { $date }
   *[no] hasta el { $date }
}
mail-cover-until-or = { $hold ->
    [yes] en suspenso; hasta el { $date } o { $distance } desde el inicio, lo que ocurra primero
   *[no] hasta el { $date } o { $distance } desde el inicio, lo que ocurra primero
}
mail-next = Lo próximo que corresponde hacer:
mail-next-line = { $services }: fecha prevista { $due }; plazo del { $opens } al { $closes }
mail-certificate = El certificado de esta garantía va adjunto a este correo, en PDF.
mail-verify = Cualquiera puede comprobar esta garantía aquí
mail-history = Todo lo que se ha hecho en su vehículo, en PDF
mail-sheets = Las fichas de datos de seguridad de lo utilizado ({ $products }) están a su disposición: responda a este correo.

# Los primeros días. Lo que conviene hacer y lo que nunca debe hacerse es práctica común del oficio, no palabra de una ficha técnica.
mail-aftercare-subject = { $vehicle }: cuidados de los primeros días, desde el { $date }
mail-aftercare = El recubrimiento de su vehículo todavía está curando. Lo que importa estos días:
mail-ask-us-first = consúltenos antes
mail-aftercare-until-then = Hasta que haya curado:
mail-aftercare-dry = Manténgalo seco y, si puede, bajo techo. Si se moja, retire el agua con un paño limpio y suave dando toques, sin frotar.
mail-aftercare-droppings = Retire pronto excrementos de aves, insectos y resina: ablándelos con un paño suave y mojado y levántelos sin frotar.
mail-aftercare-no-brushes = Nada de túneles de lavado con cepillos, ni ahora ni después.
mail-aftercare-no-heat = No lave ni limpie nunca una superficie caliente, ni a pleno sol.
mail-aftercare-no-polish = Ni cera, ni pulimento, ni ningún otro producto sobre el recubrimiento sin consultarnos.
mail-aftercare-estimates = Estos días son estimaciones, según las fichas técnicas de los productos y lo que sabemos del tiempo. Si una ficha técnica o de datos de seguridad dice otra cosa, prevalece sobre este correo.

# Ya se puede lavar. Cómo lavar es práctica común del oficio.
mail-wash-from-subject = { $vehicle }: ya puede lavarlo, desde el { $date }
mail-wash-from = El recubrimiento aplicado antes de la entrega del { $handed-over } ha curado lo suficiente: puede lavar su vehículo desde el { $from }.
mail-wash-how = Para que siga como está, lávelo con suavidad:
mail-wash-cool = A la sombra y con la superficie fría.
mail-wash-rinse = Aclare primero con mucha agua, para que la suciedad se vaya antes de tocar la pintura.
mail-wash-buckets = Dos cubos: uno con champú de pH neutro y otro con agua limpia para aclarar el guante. Un guante suave, no una esponja, de arriba abajo.
mail-wash-wheels = Las ruedas al final, con su propio paño o cepillo.
mail-wash-dry = Séquelo con un paño de microfibra suave y limpio.
mail-wash-no-brushes = Nada de túneles de lavado con cepillos, estropajos ni limpiadores fuertes.
mail-care-sheets-above = Es práctica común. Si la ficha técnica o de datos de seguridad de un producto dice otra cosa, prevalece sobre este correo.

# Una revisión tras las primeras semanas.
mail-first-look-subject = { $vehicle }: una revisión tras las primeras semanas, entregado el { $date }
mail-first-look = Le entregamos su vehículo el { $handed-over }. En las primeras semanas se ve si el recubrimiento ha quedado uniforme: donde hay demasiado, con luz rasante aparecen manchas oscuras o irisadas.
mail-first-look-bring = Tráigalo para una breve revisión bajo nuestras luces. Cuanto antes se encuentra una mancha así, más fácil es corregirla.

# Antes del invierno. Práctica común del oficio.
mail-winter-subject = { $vehicle }: cuidados antes del invierno, { $date }
mail-winter = Antes de que llegue la sal, algunas cosas que ayudan al recubrimiento a pasar el invierno:
mail-winter-salt = Aclare a menudo la sal y la suciedad de la carretera, primero en estribos, pasos de rueda y ruedas.
mail-winter-frost = Lave solo por encima de cero grados y seque después las gomas de las puertas.
mail-winter-ice = No rasque el hielo de la pintura ni empuje la nieve con cantos duros: deje que se derrita o use un cepillo suave para la nieve suelta.
mail-winter-hot-water = Nunca agua caliente sobre cristales o pintura helados.

# En primavera. Práctica común del oficio.
mail-spring-subject = { $vehicle }: cuidados de primavera, { $date }
mail-spring = El invierno ha pasado: algunas cosas que devuelven al recubrimiento su mejor estado:
mail-spring-wash = Lávelo a fondo una vez, con mucha agua antes de tocarlo, para que se vayan la sal y la arena.
mail-spring-wheels = Limpie ruedas y pasos de rueda, donde se han acumulado polvo de freno y sal.
mail-spring-pollen = Aclare el polen y la resina; no los limpie en seco.
mail-spring-look = Fíjese en si el agua sigue escurriendo en todas partes como antes. Donde no sea así, díganoslo antes de aplicar nada.

# Cobertura que termina.
mail-ending-subject = { $vehicle }: la cobertura de { $surfaces } termina el { $date }
mail-ending = La cobertura de la garantía { $warranty } llega a su fin para lo siguiente:
mail-ending-still = Después sigue cubierto:
mail-ending-nothing-left = Después no queda nada cubierto por ella.

# La cobertura ha cambiado.
mail-transferred-subject = { $vehicle }: nuevo propietario, desde el { $date }
mail-transferred = Desde el { $date } el vehículo figura a nombre de su nuevo propietario. La garantía { $warranty } pasa con él.
mail-transferred-ends = Desde el { $date } el vehículo figura a nombre de su nuevo propietario. Según sus condiciones, la garantía { $warranty } terminó con ello.
mail-panel-out-subject = { $vehicle }: ya no está cubierto: { $panel }, desde el { $date }
mail-panel-out = Desde el { $date } la garantía { $warranty } ya no cubre lo siguiente, porque se reparó o se repintó: { $place }. Si quiere volver a recubrirlo, pregúntenos si las condiciones lo admiten de nuevo.
mail-panel-back-subject = { $vehicle }: cubierto de nuevo: { $panel }, desde el { $date }
mail-panel-back = Desde el { $date } la garantía { $warranty } vuelve a cubrir lo siguiente, porque se recubrió de nuevo: { $place }.
mail-on-hold-subject = { $vehicle }: cobertura de { $surfaces } en suspenso, desde el { $date }
mail-on-hold = Desde el { $date } está en suspenso la cobertura de la garantía { $warranty } para lo siguiente: { $surfaces }.
mail-on-hold-ask = Pregúntenos qué hace falta para que vuelva a estar en vigor.
mail-back-in-force-subject = { $vehicle }: cobertura de { $surfaces } de nuevo en vigor, desde el { $date }
mail-back-in-force = Desde el { $date } vuelve a estar en vigor la cobertura de la garantía { $warranty } para lo siguiente: { $surfaces }.
mail-back-in-force-by = Lo que la ha restablecido: { $service }.
mail-ended-subject = { $vehicle }: cobertura de { $surfaces } terminada, { $date }
mail-ended = El { $date } terminó la cobertura de la garantía { $warranty } para lo siguiente: { $surfaces }.
mail-recalled-subject = { $vehicle }: retirada de { $product }, { $date }
mail-recalled = El { $date } se retiró el lote { $batch } de { $product }. En su vehículo está en: { $panels }.
mail-recalled-what-now = Póngase en contacto con nosotros: lo veremos juntos y le diremos qué hay que hacer.

# Un enlace solicitado.
mail-link-transfer-subject = { $vehicle }: confirmar el nuevo propietario
mail-link-claim-subject = { $vehicle }: comunicar un problema
mail-link-transfer = Ha solicitado un enlace para comunicarnos que el vehículo tiene un nuevo propietario. No cambia nada hasta que lo confirme allí.
mail-link-claim = Ha solicitado un enlace para comunicar un problema cubierto por la garantía. No se nos envía nada hasta que lo confirme allí.
mail-link-good-for = El enlace sirve una sola vez, durante { $minutes } desde que se solicitó.
mail-link-not-asked = Si no lo ha solicitado, no tiene que hacer nada.
