# O que dizem as mensagens aos proprietários. Um assunto diz: veículo, o quê, data.
mail-subject-more = { $count ->
    [one] { $subject } (e mais um aviso)
   *[other] { $subject } (e mais { $count } avisos)
}
mail-subject-drill = [Simulacro] { $subject }
mail-drill = Esta mensagem faz parte de um simulacro. Nada do que contém é real.
mail-greeting = Caro/a { $name },
mail-regards = Com os melhores cumprimentos,
mail-reach = { $what ->
    [day] Para marcar uma data, responda a esta mensagem.
    [booking] Se a data já não lhe convier, responda a esta mensagem.
   *[question] Se tiver alguma dúvida, responda a esta mensagem.
}
mail-reach-by-phone = { $what ->
    [day] Para marcar uma data, responda a esta mensagem ou telefone-nos: { $phone }.
    [booking] Se a data já não lhe convier, responda a esta mensagem ou telefone-nos: { $phone }.
   *[question] Se tiver alguma dúvida, responda a esta mensagem ou telefone-nos: { $phone }.
}
mail-no-upkeep = Não receber mais mensagens sobre manutenção
mail-no-history = Não receber mais mensagens sobre trabalhos realizados
# O assunto da mensagem que pede o fim destas mensagens; lê-o a oficina.
mail-unsubscribe = Não desejo receber mais mensagens destas
mail-consumer-law = A lei do consumidor prevalece sobre estas condições: nada do que dizem lhe retira um direito que ela lhe dá.

# Como figuram os dados e as ligações em texto simples.
mail-fact = { $name }: { $value }
mail-link = { $label }:

# O que faz uma ligação, como convite.
mail-do-book = Marcar uma data
mail-do-change-booking = Alterar ou anular a marcação
mail-do-open-page = Abrir a página do seu veículo
mail-do-confirm-transfer = Confirmar o novo proprietário
mail-do-report-claim = Comunicar o problema

# Nomes dos dados.
mail-fact-what = Serviço
mail-fact-due = Data prevista
mail-fact-from = Prazo desde
mail-fact-until = Prazo até
mail-fact-distance = E o mais tardar aos
mail-fact-terms = Condições
mail-fact-day = Data
mail-fact-place = Local
mail-fact-keep-dry = Manter seco até
mail-fact-first-wash = Primeira lavagem a partir de
mail-fact-full-cure = Cura completa em
mail-clause = «{ $title }», { $clause }
mail-by-terms = Condições { $clause }

# Aproxima-se uma data.
mail-upcoming-subject = { $vehicle }: { $services }, data prevista { $date }
mail-upcoming-keeps = É o que mantém a cobertura do seguinte: { $surfaces }.
mail-who = { $by ->
    [accredited] Tem de ser feito por uma oficina acreditada.
    [shop] Tem de ser feito por uma oficina.
   *[owner] Pode fazê-lo pessoalmente ou mandar fazer.
}
mail-if-missed-note = Se não for feito, fica anotado e a sua cobertura não muda.
mail-if-missed-end = Se não for feito, termina a cobertura do seguinte: { $surfaces }.
mail-if-missed-shorten = Se não for feito, termina { $period } mais cedo a cobertura do seguinte: { $surfaces }.
mail-if-missed-suspend = { $by ->
    [accredited] Se não for feito, a cobertura ({ $surfaces }) fica suspensa até uma oficina acreditada realizar o seguinte: { $with }.
    [shop] Se não for feito, a cobertura ({ $surfaces }) fica suspensa até uma oficina realizar o seguinte: { $with }.
   *[owner] Se não for feito, a cobertura ({ $surfaces }) fica suspensa até se realizar o seguinte: { $with }.
}
mail-if-missed-suspend-within = O prazo para isso é de { $period }; depois dele, a cobertura termina.

# O prazo termina em breve.
mail-last-call-subject = { $vehicle }: último aviso, { $services } até { $date }
mail-last-call-open = Ainda não temos registo de que tenha sido feito neste prazo: { $services }. O último dia possível é { $closes }.

# Algo ficou por fazer.
mail-missed-subject = { $vehicle }: { $services }, fora de prazo desde { $date }
mail-missed-by-day = Não temos registo de que tenha sido feito até { $closes }: { $services }. Desde { $since } considera-se fora de prazo.
mail-missed-by-distance = Não temos registo de que tenha sido feito antes de o veículo percorrer { $distance }: { $services }. Desde { $since } considera-se fora de prazo.
mail-cost-note = Fica anotado. A sua cobertura não muda.
mail-cost-end = Com isso terminou a cobertura do seguinte: { $surfaces }.
mail-cost-shorten = A cobertura ({ $surfaces }) termina mais cedo do que o previsto; é encurtada em { $period }.
mail-cost-suspend = { $by ->
    [accredited] A cobertura ({ $surfaces }) está suspensa desde { $since }. Volta a vigorar no dia em que uma oficina acreditada realizar o seguinte: { $with }.
    [shop] A cobertura ({ $surfaces }) está suspensa desde { $since }. Volta a vigorar no dia em que uma oficina realizar o seguinte: { $with }.
   *[owner] A cobertura ({ $surfaces }) está suspensa desde { $since }. Volta a vigorar no dia em que se realizar o seguinte: { $with }.
}
mail-cost-suspend-until = O último dia para isso é { $until }; depois, a cobertura termina definitivamente.
mail-missed-if-done = Se foi feito a tempo e não soubemos, envie-nos a fatura: corrigimos o registo.

# Há uma marcação.
mail-booked-subject = { $vehicle }: marcação para { $date }
mail-booked-again-subject = { $vehicle }: esperamos por si em { $date }
mail-booked = A sua marcação está feita.
mail-booked-again = Lembramos-lhe a sua marcação.
mail-booked-calendar = Esta mensagem traz um ficheiro de calendário: abra-o para guardar a data no seu calendário.

# O que foi feito.
mail-record-handover-subject = { $vehicle }: o que fizemos, { $date }
mail-record-warranty-subject = { $vehicle }: o que fizemos e a sua garantia, { $date }
mail-record-visit-subject = { $vehicle }: o que fizemos na sua visita, { $date }
mail-record-elsewhere-subject = { $vehicle }: feito noutro local e já registado, { $date }
mail-done-step = { $step } com { $product }
mail-done-coat = { $product } sobre { $place }, lote { $batch }
mail-done-by-owner = { $service }, por si
mail-done-by = { $service }, por { $name }
mail-done-not = { $service } (não foi possível fazer)
mail-place = { $surface } ({ $panels })
mail-covered = O que está coberto:
mail-covered-by = O que a garantia { $warranty } cobre:
mail-cover-until = { $hold ->
    [yes] suspensa; até { $date }
   *[no] até { $date }
}
mail-cover-until-or = { $hold ->
    [yes] suspensa; até { $date } ou { $distance } desde o início, o que ocorrer primeiro
   *[no] até { $date } ou { $distance } desde o início, o que ocorrer primeiro
}
mail-next = O que se segue:
mail-next-line = { $services }: data prevista { $due }; prazo de { $opens } a { $closes }
mail-certificate = O certificado desta garantia segue em anexo, em PDF.
mail-verify = Qualquer pessoa pode verificar esta garantia aqui
mail-history = Tudo o que foi feito no seu veículo, em PDF
mail-sheets = As fichas de dados de segurança do que foi usado ({ $products }) estão à sua disposição: responda a esta mensagem.

# Os primeiros dias. O que fazer e o que nunca fazer é prática comum do ofício, não palavra de uma ficha técnica.
mail-aftercare-subject = { $vehicle }: cuidados dos primeiros dias, a partir de { $date }
mail-aftercare = O revestimento do seu veículo ainda está a curar. O que importa nestes dias:
mail-ask-us-first = pergunte-nos antes
mail-aftercare-until-then = Até estar curado:
mail-aftercare-dry = Mantenha-o seco e, se puder, abrigado. Se mesmo assim se molhar, retire a água com um pano limpo e macio, pousando-o sem esfregar.
mail-aftercare-droppings = Retire depressa dejetos de pássaros, insetos e resina: amoleça-os com um pano macio molhado e levante-os sem esfregar.
mail-aftercare-no-brushes = Nada de lavagem automática com escovas, nem agora nem depois.
mail-aftercare-no-heat = Nunca lave nem limpe uma superfície quente, nem ao sol.
mail-aftercare-no-polish = Nem cera, nem polimento, nem qualquer outro produto sobre o revestimento sem nos perguntar.
mail-aftercare-estimates = Estes dias são estimativas, a partir das fichas técnicas dos produtos e do que sabemos do tempo. Se uma ficha técnica ou de dados de segurança disser outra coisa, prevalece sobre esta mensagem.

# Já se pode lavar. Como lavar é prática comum do ofício.
mail-wash-from-subject = { $vehicle }: já o pode lavar, a partir de { $date }
mail-wash-from = O revestimento aplicado antes da entrega de { $handed-over } curou o suficiente: pode lavar o seu veículo a partir de { $from }.
mail-wash-how = Para que fique como está, lave-o com suavidade:
mail-wash-cool = À sombra, com a superfície fria.
mail-wash-rinse = Enxague primeiro com muita água, para que a sujidade saia antes de tocar na pintura.
mail-wash-buckets = Dois baldes: um com champô de pH neutro, outro com água limpa para enxaguar a luva. Uma luva macia, não uma esponja, de cima para baixo.
mail-wash-wheels = As rodas no fim, com pano ou escova próprios.
mail-wash-dry = Seque-o com um pano de microfibra macio e limpo.
mail-wash-no-brushes = Nada de lavagem automática com escovas, esfregões ou detergentes fortes.
mail-care-sheets-above = É prática comum. Se a ficha técnica ou de dados de segurança de um produto disser outra coisa, prevalece sobre esta mensagem.

# Uma verificação depois das primeiras semanas.
mail-first-look-subject = { $vehicle }: uma verificação depois das primeiras semanas, entregue em { $date }
mail-first-look = Entregámos-lhe o seu veículo em { $handed-over }. Nas primeiras semanas vê-se se o revestimento ficou uniforme: onde há produto a mais, com luz rasante aparecem manchas escuras ou irisadas.
mail-first-look-bring = Traga-o para uma breve verificação sob as nossas luzes. Quanto mais cedo se encontra uma mancha dessas, mais fácil é corrigi-la.

# Antes do inverno. Prática comum do ofício.
mail-winter-subject = { $vehicle }: cuidados antes do inverno, { $date }
mail-winter = Antes de chegar o sal, algumas coisas que ajudam o revestimento a passar o inverno:
mail-winter-salt = Enxague com frequência o sal e a sujidade da estrada, a começar pelas embaladeiras, cavas das rodas e rodas.
mail-winter-frost = Lave só acima de zero graus e seque depois as borrachas das portas.
mail-winter-ice = Não raspe o gelo da pintura nem empurre a neve com arestas duras: deixe derreter ou use uma escova macia para a neve solta.
mail-winter-hot-water = Nunca água quente sobre vidros ou pintura gelados.

# Na primavera. Prática comum do ofício.
mail-spring-subject = { $vehicle }: cuidados na primavera, { $date }
mail-spring = O inverno passou: algumas coisas que devolvem ao revestimento o seu melhor estado:
mail-spring-wash = Lave-o a fundo uma vez, com muita água antes de lhe tocar, para que o sal e a areia saiam.
mail-spring-wheels = Limpe as rodas e as cavas das rodas, onde se juntaram pó de travões e sal.
mail-spring-pollen = Enxague o pólen e a resina; não os limpe a seco.
mail-spring-look = Repare se a água ainda escorre em todo o lado como antes. Onde não escorrer, diga-nos antes de aplicar o que quer que seja.

# Cobertura que termina.
mail-ending-subject = { $vehicle }: a cobertura de { $surfaces } termina em { $date }
mail-ending = A cobertura da garantia { $warranty } chega ao fim para o seguinte:
mail-ending-still = Depois disso continua coberto:
mail-ending-nothing-left = Depois disso nada mais fica coberto por ela.

# A cobertura mudou.
mail-transferred-subject = { $vehicle }: novo proprietário, desde { $date }
mail-transferred = Desde { $date } o veículo está registado em nome do novo proprietário. A garantia { $warranty } passa com ele.
mail-transferred-ends = Desde { $date } o veículo está registado em nome do novo proprietário. Segundo as suas condições, a garantia { $warranty } terminou com isso.
mail-panel-out-subject = { $vehicle }: já não está coberto: { $panel }, desde { $date }
mail-panel-out = Desde { $date } a garantia { $warranty } já não cobre o seguinte, porque foi reparado ou repintado: { $place }. Se quiser voltar a revesti-lo, pergunte-nos se as condições o voltam a aceitar.
mail-panel-back-subject = { $vehicle }: coberto de novo: { $panel }, desde { $date }
mail-panel-back = Desde { $date } a garantia { $warranty } volta a cobrir o seguinte, porque foi revestido de novo: { $place }.
mail-on-hold-subject = { $vehicle }: cobertura de { $surfaces } suspensa, desde { $date }
mail-on-hold = Desde { $date } está suspensa a cobertura da garantia { $warranty } para o seguinte: { $surfaces }.
mail-on-hold-ask = Pergunte-nos o que é preciso para voltar a vigorar.
mail-back-in-force-subject = { $vehicle }: cobertura de { $surfaces } de novo em vigor, desde { $date }
mail-back-in-force = Desde { $date } volta a vigorar a cobertura da garantia { $warranty } para o seguinte: { $surfaces }.
mail-back-in-force-by = O que a repôs em vigor: { $service }.
mail-ended-subject = { $vehicle }: cobertura de { $surfaces } terminada, { $date }
mail-ended = Em { $date } terminou a cobertura da garantia { $warranty } para o seguinte: { $surfaces }.
mail-recalled-subject = { $vehicle }: recolha de { $product }, { $date }
mail-recalled = Em { $date } foi recolhido o lote { $batch } de { $product }. No seu veículo está em: { $panels }.
mail-recalled-what-now = Contacte-nos: vemos juntos e dizemos-lhe o que há a fazer.

# Uma ligação pedida.
mail-link-transfer-subject = { $vehicle }: confirmar o novo proprietário
mail-link-claim-subject = { $vehicle }: comunicar um problema
mail-link-transfer = Pediu uma ligação para nos comunicar que o veículo tem um novo proprietário. Nada muda enquanto não o confirmar lá.
mail-link-claim = Pediu uma ligação para comunicar um problema coberto pela garantia. Nada nos é enviado enquanto não o confirmar lá.
mail-link-good-for = A ligação serve uma só vez, durante { $minutes } a contar do pedido.
mail-link-not-asked = Se não a pediu, não precisa de fazer nada.
