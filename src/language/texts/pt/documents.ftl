# On every document.
paper-page = Página { $page } de { $pages }
paper-vehicle = Veículo
paper-vin = N.º de quadro (VIN)
paper-plate = Matrícula
paper-odometer = Conta-quilómetros
paper-job = Trabalho
paper-surface = Superfície
paper-address = Morada
paper-phone = Telefone
paper-email = Correio eletrónico
paper-record = Número no registo
paper-digest = O respetivo SHA-256

# What terms ask for.
terms-by-owner = qualquer pessoa, incluindo o proprietário
terms-by-shop = qualquer oficina especializada
terms-by-accredited = uma oficina acreditada por { $issuer }
terms-when = Quando
terms-first = Primeira vez
terms-window = Prazo
terms-who = Por quem
terms-surfaces = Para
terms-missed = Em caso de falta
terms-once = Uma única vez
terms-every-start = Um intervalo de { $period }, a contar do início da garantia
terms-every-last = Um intervalo de { $period }, a contar da última vez
terms-or-distance = { $when }, ou após { $distance }, consoante o que ocorrer primeiro
terms-window-early = De { $early } antes da data prevista até esse dia
terms-window-late = Até { $late } depois da data prevista
terms-window-both = De { $early } antes da data prevista até { $late } depois
terms-miss = { $number }.ª falta: { $what }
terms-miss-on = { $number }.ª falta e seguintes: { $what }
terms-note = Fica anotado. A garantia mantém-se como está.
terms-end = A garantia termina.
terms-shorten = A garantia termina { $period } mais cedo.
terms-suspend = A garantia fica suspensa até ser regularizada com: { $services }. Pode fazê-lo { $by }.
terms-suspend-within = A garantia fica suspensa. Volta a vigorar se for regularizada no prazo de { $period } com: { $services }; pode fazê-lo { $by }. Caso contrário, termina.
terms-breach = { $key }: { $what }
terms-breach-on = { $key } ({ $surfaces }): { $what }
terms-transfer-free = A garantia acompanha o veículo, sem limite de proprietários. Não é preciso fazer nada para isso.
terms-transfer-none = Só o primeiro proprietário está coberto. A garantia termina com a venda do veículo.
terms-transfer-any = A garantia acompanha o veículo, sem limite de proprietários.
terms-transfer-owners = A garantia acompanha o veículo, até { $owners } proprietários no total, contando com o primeiro.
terms-transfer-tell = Comunique a venda à oficina no prazo de { $period }.
terms-transfer-inspect = Mande inspecionar o veículo no prazo de { $period } após a venda. Pode fazê-lo { $by }.
terms-repair = Uma peça reparada ou repintada fica fora da garantia a partir desse dia, até voltar a ser revestida.
terms-repair-within = Uma peça reparada ou repintada fica fora da garantia a partir desse dia. Volta a estar coberta se for revestida de novo no prazo de { $period }.
terms-repair-never = Uma peça reparada ou repintada fica fora da garantia a partir desse dia.

# The certificate of a warranty.
certificate-kind = Certificado de garantia
certificate-lead = Garantia de { $shop } sobre o revestimento deste veículo
certificate-description = Garantia { $number } de { $shop } sobre o revestimento do veículo { $vehicle }: cobertura, manutenção, reclamações e direitos.
certificate-foot = Verifique este certificado em { $address }
certificate-code = Leia o código para ver o estado atual
certificate-code-alt = Código que abre { $address }
certificate-issued-to = Emitido a
certificate-issued-on = Emitido em
certificate-start = A garantia começa em
certificate-terms = Condições
certificate-edition = { $code }, edição { $edition }
certificate-void = Esta garantia não é válida
certificate-void-since = Foi emitida por engano e não cobre nada. Não é válida desde { $day }.
certificate-replaced = Esta garantia foi substituída
certificate-replaced-by = A garantia { $number } tomou o seu lugar.
certificate-cover = O que a garantia cobre, e até quando
certificate-cover-lead = A garantia começa em { $day }, com o conta-quilómetros em { $distance }. Cada superfície está coberta até ao seu último dia, inclusive, ou até à sua distância, consoante o que ocorrer primeiro.
certificate-panels = Peças cobertas
certificate-last-day = Último dia
certificate-up-to = Distância
certificate-km = { $distance } desde o início
certificate-no-limit = sem limite
certificate-cover-note = Tal como prometido no dia da emissão. O que aconteceu desde então pode alterá-lo; o código acima mostra o estado atual.
certificate-not-covered = O que não está coberto
certificate-left-out = Peças excluídas ({ $surface }): { $panels }
certificate-rest = Todas as superfícies e peças que não são indicadas acima
certificate-remedy = O que fazemos se o revestimento falhar
certificate-remedy-silent = Estas condições não indicam uma prestação própria. Aplica-se o que a lei lhe concede; ver «Os seus direitos».
certificate-claim = Como reclamar
certificate-report = Avise { $shop } assim que notar um defeito.
certificate-report-within = Avise { $shop } no prazo de { $period } depois de notar um defeito.
certificate-bring = Tenha à mão este certificado ou o seu número e deixe a oficina ver o veículo.
certificate-work-by = Os trabalhos em garantia são feitos por { $shop }, ou por uma oficina que lhe seja indicada.
certificate-guarantor = Garante
certificate-upkeep = O que tem de fazer para a manter
certificate-upkeep-lead = A garantia depende da manutenção seguinte. Guarde as faturas do que for feito por outros.
certificate-upkeep-none = Não é exigida qualquer manutenção.
certificate-entry = Um serviço tem de ficar registado no prazo de { $period } depois de feito. Mais tarde, a oficina tem de o confirmar.
certificate-breaches = O que mais afeta a garantia
certificate-transfer = Se vender o veículo
certificate-repair = Se uma peça for reparada
certificate-care = Cuidados e precauções
certificate-care-fresh = Enquanto o revestimento estiver fresco, mantenha-o seco e não o lave antes do dia que a oficina lhe indicou.
certificate-care-products = Use os produtos de cuidado como indicam o rótulo e a ficha de dados de segurança: use luvas, areje e nunca trabalhe sobre peças quentes.
certificate-care-ice = Não raspe gelo das peças revestidas nem deite água quente sobre elas. A água da lavagem gela: cuidado ao andar.
certificate-law = Os seus direitos
certificate-law-remedies = Se os bens não forem conformes com o contrato, a lei concede-lhe meios de ressarcimento perante o vendedor, sem encargos. Esta garantia não os afeta.
certificate-law-rights = Esta garantia confere-lhe direitos específicos, e pode ter ainda outros, que variam de Estado para Estado.
certificate-law-implied = Este certificado não limita a duração de garantias implícitas. Se outros documentos do vendedor o fizerem: alguns Estados não permitem tais limites, que podem assim não se aplicar ao seu caso.
certificate-law-damages = Este certificado não exclui nem limita danos acessórios ou indiretos. Se outros documentos do vendedor o fizerem: alguns Estados não o permitem, o que pode assim não se aplicar ao seu caso.
certificate-law-dispute = Não é obrigado a passar por qualquer processo de resolução de litígios antes de recorrer a tribunal.
certificate-law-card = Não tem de devolver qualquer cartão de registo: a garantia não depende disso.
certificate-law-territory = A garantia vale onde quer que o veículo esteja. O direito do consumo está acima destas condições.
certificate-seal = Prova
certificate-seal-lead = A oficina não pode alterar esta promessa sem que se note: consta do seu registo, e as condições são identificadas pelo respetivo resumo criptográfico. Uma cópia assinada pode ser verificada sem perguntar à oficina.
certificate-terms-digest = SHA-256 das condições
certificate-verify = Verifique em
certificate-keys = Chaves das cópias assinadas

# The winter card: care of a fresh coating.
winter-card-kind = Cartão de cuidados
winter-card-heading = Revestimento fresco: manter seco
winter-card-lead = Para { $vehicle }, revestido por { $shop }
winter-card-description = Quando o revestimento fresco de { $vehicle } pode apanhar água, e quando pode ser lavado.
winter-card-foot = As horas são estimativas. Em caso de dúvida, pergunte a { $shop }.
winter-card-leaves = Sai da oficina
winter-card-water = Manter seco até
winter-card-wash = Primeira lavagem a partir de
winter-card-cured = Totalmente curado a partir de
winter-card-unknown = ainda não se sabe: pergunte-nos
winter-card-estimates = Estas horas são estimativas. São calculadas a partir do que foi medido na oficina e do último tempo medido lá fora; com mais frio ficam para mais tarde. Todas as horas são de { $zone }.
winter-card-panels = Peça a peça
winter-card-panel = Peça
winter-card-covered = agora: tem por cima uma camada que aguenta a chuva
winter-card-may-get-wet = já não é preciso: já pode apanhar água
winter-card-now = agora
winter-card-never = Até lá, nunca
winter-card-never-wash = lavar, nem na máquina nem à mão
winter-card-never-rub = esfregar, polir ou limpar o pó de uma peça seca
winter-card-never-snow = varrer neve ou raspar gelo; deixe derreter por si, debaixo de telha e com o motor desligado
winter-card-never-cover = pôr uma capa
winter-card-never-chemicals = usar produtos químicos, cera ou descongelante
winter-card-wet = Se mesmo assim se molhar
winter-card-wet-text = Não deixe secar as gotas. Absorva-as com um pano limpo e macio, sem pressão, e deixe o veículo abrigado. Dejetos de aves e sal da estrada: telefone-nos no mesmo dia.
winter-card-after = A primeira lavagem
winter-card-after-text = À mão, à sombra, com champô de pH neutro, dois baldes e uma luva macia. Sem escovas. Seque com uma toalha macia.
winter-card-safety = A água da lavagem gela: não lave com geada e cuidado ao andar. Não force uma porta gelada.

# The label in the door frame.
door-label-kind = Etiqueta de porta
door-label-description = Etiqueta para o aro da porta de { $vehicle }: o código mostra o que tem aplicado e como se lava.
door-label-heading = Este veículo está revestido
door-label-code = Leia antes de lavar ou polir: o que tem cada peça, e o que suporta.
door-label-code-alt = Código que abre a página deste veículo

# A job, on its sheet, in the history and in the dispute file.
paper-owner = Proprietário
job-stands = Estado
job-state = { $state ->
    [open] em curso
    [signed_off] assinado
    [handed_over] entregue
   *[cancelled] cancelado
}
job-taken-in = Recebido
job-signed-off = Assinado
job-signed-off-by = { $at }, por { $by }
job-handed-over = Entregue
job-excluded = Excluídas
job-panel = Peça
job-note = Nota
job-marks = Marcas à chegada
job-marks-none = Não foi anotada nenhuma marca.
job-mark = Marca
job-size = Tamanho
job-mark-kind = { $kind ->
    [scratch] risco
    [scuff] raspão
    [stone_chip] impacto de pedra
    [dent] amolgadela
    [crack] fissura
    [swirl] microrriscos
    [etching] corrosão química
    [water_spot] mancha de água
    [overspray] névoa de tinta
    [stain] mancha
    [corrosion] ferrugem
    [peeling] descolamento
    [kerb_damage] dano de lancil
    [tear] rasgão
   *[other] outra
}
job-paint = Medições de pintura
job-paint-before = Antes de polir
job-paint-after = Depois de polir
job-paint-mean = { $count ->
    [one] { $mean } µm ({ $count } medição)
   *[other] { $mean } µm ({ $count } medições)
}
job-paint-alt = { $count ->
    [one] O veículo visto de cima, com a média das medições de { $count } peça, como na tabela.
   *[other] O veículo visto de cima, com a média das medições de { $count } peças, como na tabela.
}
job-steps = Preparação
job-when = Quando
job-step = Etapa
job-where = Onde
job-with = Com
job-by = Por
job-coats = Camadas
job-product = Produto
job-batch = Lote
job-sheet-edition = ficha técnica, edição { $edition }
job-climate = Clima
job-air = Ar
job-humidity = Humidade
job-panel-temperature = Peça
job-place = Local
job-climate-range = { $count ->
    [one] { $count } medição: ar de { $coldest } a { $warmest } °C, humidade relativa de { $driest } a { $dampest } %.
   *[other] { $count } medições: ar de { $coldest } a { $warmest } °C, humidade relativa de { $driest } a { $dampest } %.
}
job-checks = Verificações
job-checks-none = As verificações não encontraram nada.
job-photos = Fotografias
job-photo = Veículo
job-photo-alt = Fotografia do trabalho { $number }: { $shows }

# The job sheet.
job-sheet-kind = Folha de trabalho
job-sheet-heading = Folha de trabalho de { $vehicle }
job-sheet-description = Trabalho { $number } no veículo { $vehicle }: precauções, observações, preparação, clima, camadas e assinatura.
job-found = Como chegou
job-done = O que foi feito
job-cautions = Precauções
job-cautions-sheets = Das fichas técnicas
job-caution-first = Decidem a ficha de dados de segurança de cada produto e as normas locais. Leia-as antes de abrir o frasco.
job-caution-gloves = Luvas, proteção ocular e mangas compridas como diz a ficha de segurança. Mude as luvas que se molharem por dentro.
job-caution-air = Solventes: areje ou aspire os vapores junto ao chão. Sem chamas, faíscas, aquecedores incandescentes ou tabaco por perto. Dor de cabeça ou tonturas: saia para o ar livre.
job-caution-isocyanates = Isocianatos: só pessoal formado, com o equipamento respiratório que a ficha de segurança indica; mais ninguém na sala até arejar. Quem já reagiu uma vez mantém-se afastado.
job-caution-rags = Os panos embebidos em solvente ou revestimento podem inflamar-se sozinhos: para um balde metálico fechado, e fora do edifício à noite.
job-caution-mixing = Nunca misture produtos de limpeza. Ácido e cloro libertam gás tóxico; o removedor ferroso não vai sobre discos quentes nem pintura a secar.
job-caution-lamps = Lâmpadas de infravermelhos: proteção ocular, a distância da ficha técnica e nunca sem vigilância. Nada inflamável por perto.
job-caution-footing = O chão molhado ou gelado escorrega. Um veículo levantado assenta em preguiças; num alto trabalha-se de uma plataforma, não da soleira nem da roda.
job-sign-off = Assinatura
job-sign-off-open = Ainda por assinar.
job-line-name = Nome
job-line-day = Dia e hora
job-line-signature = Assinatura

# The history of a vehicle.
history-kind = Histórico de serviço
history-heading = Histórico de { $vehicle }
history-lead = Em { $day }
history-description = O que foi feito no veículo { $vehicle }, e como está a sua garantia em { $day }.
history-warranty = Garantia { $number }
history-state = Estado
history-from = Desde
history-state-of = { $state ->
    [not_begun] ainda não começou
    [in_force] em vigor
    [suspended] suspensa
   *[ended] terminada
}
history-cause = { $cause ->
    [transfer] veículo vendido
    [closed] veículo saiu de vez
    [distance] distância atingida
    [missed] manutenção em falta
    [breach] acontecimento que afeta a garantia
    [shortened] encurtada
   *[expired] prazo terminado
}
history-cover-alt = Garantia { $number } ao longo do tempo: uma barra por superfície e uma marca por data prevista, como nas tabelas.
history-panel-out = { $panel } ({ $surface }): fora da garantia desde { $since }
history-panel-back = { $panel } ({ $surface }): fora da garantia desde { $since }, de novo coberta desde { $until }
history-dues = Manutenção
history-rule = Regra
history-opens = Prazo desde
history-due = Data prevista
history-closes = Prazo até
history-due-status = { $status ->
    [ahead] por vir
    [open] aberta
    [late] em atraso
    [missed] em falta
    [met] cumprida
   *[waived] dispensada
}
history-jobs = Revestimentos
history-jobs-none = Não consta nenhum trabalho.
history-happened = Visitas e acontecimentos
history-happened-none = Não consta nada.
history-day = Dia
history-what = O quê
history-by-owner = o proprietário
history-by-other = outra oficina
history-outcome = { $outcome ->
    [in_order] Em ordem
    [in_order_with_advice] Em ordem, com conselho
   *[finding] Ocorrência
}
history-figure = { $name ->
    [contact_angle_deg] ângulo de contacto (°)
    [roll_off_deg] ângulo de escorrimento (°)
    [gloss_gu] brilho (GU)
   *[delta_e_00] alteração de cor ΔE00
}
history-proof = Visto: { $proof }
history-not-as-asked = { $service }, não como as condições pedem
history-reading = Leitura do conta-quilómetros
history-sold = Vendido; comunicado à oficina em { $day }
history-sold-not-told = Vendido; não foi comunicado à oficina
history-repair = Reparada ou repintada: { $panel } ({ $surface })
history-recoat = Revestida de novo: { $panel } ({ $surface })
history-breach = Acontecimento que afeta a garantia: { $key }
history-waived = Dispensada: { $due }
history-extended = { $due } prolongada até { $day }
history-closed = Saiu de vez
history-retraction = Foi retirado um registo

# The dispute file.
dispute-kind = Processo de prova
dispute-heading = Tudo o que consta sobre { $vehicle }
dispute-lead = Reunido em { $at } ({ $zone })
dispute-description = Garantias com os motivos, trabalhos, fotografias, acontecimentos e registos do veículo { $vehicle }.
dispute-reasons = Porque está assim
dispute-job = Trabalho { $number }
dispute-entered = Registado
dispute-entry = { $at }, registo { $seq }
dispute-retracted = Retirado: { $what }
dispute-records = Registos
dispute-records-lead = Cada documento por que alguém responde consta uma vez do registo da oficina, com o seu lugar e o SHA-256 do que diz. Nenhum pode ser alterado sem que se note.
dispute-seq = N.º
dispute-document = Documento
dispute-because = Motivo: { $reason }
dispute-countersigned = Registado tarde; o responsável confirmou-o.
dispute-imported = Tirado dos arquivos anteriores da oficina.
dispute-instead = Substitui o que diz o registo { $seq }.
dispute-takes-back = Retira o que diz o registo { $seq }.
dispute-owners = Proprietários
dispute-owner = Como
dispute-owner-kind = { $kind ->
    [stock] stock de um concessionário
   *[owner] proprietário
}
dispute-owner-until = Até
dispute-job-opened = Aberto
dispute-job-cancelled = Anulado porque
dispute-finishes = Outro acabamento
dispute-finish-is = { $finish ->
    [clear_coat] verniz
    [matte] mate
    [single_stage] monocamada
   *[film] película
}
dispute-old-coating = Chegou com um revestimento
dispute-readings = Cada leitura
dispute-section-applied = Aplicado
dispute-section-levelled = Nivelado
dispute-section-by-eye = a olho
dispute-bottles = Produtos e lotes
dispute-batch = O lote hoje
dispute-batch-unknown = não registado
dispute-batch-state = { $state ->
    [usable] utilizável
    [quarantined] em quarentena
   *[recalled] recolhido
}
dispute-batch-made = Fabricado
dispute-batch-opened = Frasco aberto
dispute-batch-expires = Usar até
dispute-passes = Admitido pelo responsável e alterado depois
dispute-signatures = Assinaturas do proprietário
dispute-signatures-none = O proprietário não assinou nada.
dispute-signed = { $occasion ->
    [check_in] Assinado na receção
   *[handover] Assinado na entrega
}
dispute-signed-document = SHA-256 do que foi assinado
dispute-signature-alt = Assinatura de { $name }, traçada à mão
dispute-addenda = Registado depois da assinatura
dispute-afterwards = registada depois da assinatura
dispute-inspection = Inspeção de { $day }
dispute-inspection-worked-out = Calculado do que foi medido
dispute-inspection-decided = O inspetor decidiu de outro modo
dispute-inspection-remedy = O que se faz
dispute-inspection-remedy-is = { $remedy ->
    [decontaminate_and_top_up] descontaminar e reforçar
    [recoat_panel] revestir de novo a peça
   *[claim] reclamação
}
dispute-water-arrived = Água, como chegou
dispute-water-decontaminated = Água, depois de descontaminar
dispute-water = { $water ->
    [beading] gotas que escorrem
    [sheeting] escorre logo em lençol
    [slow] escorre devagar
   *[flat] fica espalmada
}
dispute-measured = Medido
dispute-measured-first = Primeiro valor
dispute-measured-allowed = Permitido
dispute-visit-photos = Fotografias da visita de { $day }
dispute-visit-photo-alt = Fotografia da visita de { $day }: { $shows }
dispute-appointments = Marcações
dispute-appointment-for = Para
dispute-appointment-state = { $state ->
    [booked] marcada
    [kept] cumprida
    [missed] falhada
   *[cancelled] anulada
}
dispute-answers = O que o proprietário respondeu
dispute-answer = Resposta
dispute-answer-was = { $answer ->
    [will_come] virá
    [ask_again] quer que se pergunte de novo
    [elsewhere] faz noutro lado
    [declined] recusou
   *[not_reached] não foi contactado
}
dispute-reports = O que foi comunicado
dispute-report-kind = { $kind ->
    [booking] O proprietário pediu um dia
    [problem] O proprietário comunicou um problema
    [sold] O proprietário comunicou a venda
    [door_wash] Lavagem anotada no veículo
   *[door_repair] Reparação anotada no veículo
}
dispute-report-told = Comunicado em
dispute-report-at-vehicle = alguém junto ao veículo
dispute-report-words = Pelas suas palavras
dispute-report-buyer = Comprador
dispute-report-desk = A oficina
dispute-settled = resolveu em { $at }, { $by }
dispute-open = ainda não resolveu
dispute-notices = O que foi comunicado ao proprietário
dispute-notice-planned = Previsto para
dispute-notice = Aviso
dispute-notice-to = Para
dispute-notice-because = Porquê
dispute-notice-kind = { $kind ->
    [record] O que foi feito
    [aftercare] Cuidados após a entrega
    [wash-from] Primeira lavagem
    [first-look] Primeira vistoria
    [upcoming] Manutenção próxima
    [booked] Dia marcado
    [last-call] Último aviso
    [missed] Manutenção em falta
    [season] Estação
    [ending] Fim da garantia
    [changed] Alteração da garantia
    [sign-in] Início de sessão
   *[link] Ligação pedida
}
dispute-notice-state = { $state ->
    [planned] previsto
    [queued] escrito
    [sending] a ser enviado
    [sent] enviado
    [failed] falhado
    [suppressed] retido
    [cancelled] anulado
    [stale] ultrapassado
   *[dropped] omitido
}
dispute-mail = e-mail n.º { $number }
dispute-mails = Os e-mails
dispute-mails-lead = Cada e-mail é guardado byte a byte como foi escrito, com os anexos. Quem o recebeu pode comparar o Message-ID e o SHA-256.
dispute-mail-way = O seu percurso
dispute-mail-proof = Reconhece-se por
dispute-mail-bytes = { $count ->
    [one] { $count } byte ao todo
   *[other] { $count } bytes ao todo
}
dispute-mail-written = escrito em { $at }
dispute-mail-sent = aceite por um servidor de correio em { $at }
dispute-mail-attempts = { $count ->
    [one] { $count } tentativa
   *[other] { $count } tentativas
}
dispute-tasks = O que a oficina tinha de fazer
dispute-task-kind = { $kind ->
    [notice_failed] Um e-mail não pôde ser entregue
    [appointment_missed] O proprietário não veio
    [remedy] Uma inspeção encontrou algo
    [booking_requested] O proprietário quer vir
    [problem_reported] O proprietário comunicou um problema
    [sold_reported] O proprietário comunicou a venda
   *[door_note] Anotado no veículo
}
dispute-log = { $count ->
    [one] Quando este processo foi reunido, o registo da oficina tinha { $count } documento. Dele se pode calcular a raiz da árvore de Merkle (RFC 9162): se sair outra, algo foi alterado.
   *[other] Quando este processo foi reunido, o registo da oficina tinha { $count } documentos. Deles se pode calcular a raiz da árvore de Merkle (RFC 9162): se sair outra, algo foi alterado.
}
dispute-log-head = Raiz do registo
