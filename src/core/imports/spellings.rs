//! Headers as shops write them, in English, German, Spanish, French and Portuguese; folded (lower case, no accents,
//! letters and digits alone). Each was made up from how the trade speaks. Which columns a file can have at all depends
//! on its kind, so that a word may stand here more than once.

use super::Column;
use super::Column as C;
use super::events::Happening;

/// Spellings with blanks between them, beside the column's own name.
pub(super) const SPELLINGS: &[(Column, &str)] = &[
    (
        C::Ref,
        "id key no nr number reference extid externalid customerno customernumber customerid clientid vehicleid \
              vehicleno jobno jobnumber orderno invoiceno kundennr kundennummer auftragsnr auftragsnummer \
              rechnungsnr referenz fahrzeugnr referencia numero numerocliente nocliente codigo reference \
              numeroclient noclient numerodecliente codigocliente processo ficha laufendenummer lfdnr",
    ),
    (
        C::Name,
        "fullname customer customername client owner ownername kunde kundenname halter nombre \
               nombrecompleto cliente nom nomcomplet nomprenom nome nomecompleto proprietario propietario",
    ),
    (C::FirstName, "forename givenname vorname nombredepila prenom primeironome nomeproprio"),
    (
        C::LastName,
        "surname familyname nachname familienname apellido apellidos nomdefamille apelido sobrenome",
    ),
    (
        C::Kind,
        "type customertype event whathappened kundenart art ereignis vorgang was tipo evento suceso tipodecliente \
              type evenement typeclient ocorrencia",
    ),
    (
        C::Email,
        "mail emailaddress emailadresse mailadresse correo correoelectronico adressemail courriel \
                enderecoemail adresseemail",
    ),
    (
        C::Phone,
        "telephone tel mobile mobilephone cell phonenumber telefon telefonnummer handy mobil rufnummer \
                telefono movil portable telefone telemovel celular numerodetelephone",
    ),
    (C::Language, "lang sprache idioma langue lingua"),
    (C::TimeZone, "timezone zone zeitzone zonahoraria fuseau fuseauhoraire fusohorario"),
    (C::MailUpkeep, "reminders reminder erinnerungen erinnerung recordatorios rappels lembretes newsletter"),
    (C::MailHistory, "history historie historial historique historico"),
    (
        C::Vin,
        "chassis chassisnumber chassisno ndechassis vinnumber fin fahrgestellnummer fahrgestellnr fahrzeugidentnummer \
              bastidor numerodebastidor numerodechassis nochassis quadro numerodequadro",
    ),
    (
        C::Plate,
        "numberplate licenceplate licenseplate registration reg regno registrationnumber kennzeichen \
                amtlicheskennzeichen matricula placa immatriculation plaque plaquedimmatriculation",
    ),
    (C::Make, "brand manufacturer marke hersteller fabrikat marca marque fabricante"),
    (C::Model, "modell modelo modele type typ"),
    (C::ModelYear, "year baujahr modelljahr jahr ano annee anneemodele anomodelo"),
    (C::Colour, "color paintcolour paintcolor farbe lackfarbe couleur cor"),
    (C::Finish, "paintfinish lackart oberflaeche oberflache acabado finition acabamento"),
    (C::Size, "vehiclesize bodysize groesse grosse fahrzeuggroesse tamano taille tamanho"),
    (
        C::Vehicle,
        "vehicleref vehicleid vehicleno vehiclenumber fahrzeug fahrzeugnr vehiculo vehicule veiculo",
    ),
    (
        C::Owner,
        "customer customerref customerid customerno client clientid ownername owneremail keeper besitzer \
                halter eigentuemer eigentumer kunde kundennr kundennummer propietario cliente proprietaire \
                proprietario customeremail",
    ),
    (
        C::OwnedSince,
        "ownersince since ownerfrom besitzerseit halterseit seit propietariodesde desde depuis \
                     proprietairedepuis proprietariodesde",
    ),
    (
        C::HandedOverOn,
        "handover handedover handoverdate date deliverydate delivered deliveredon jobdate uebergabe ubergabe \
                       ubergabedatum uebergabedatum ubergabeam datum auslieferung fecha fechadeentrega entrega \
                       datederemise dateremise datelivraison data datadeentrega",
    ),
    (
        C::CompletedOn,
        "completed completiondate finished finishedon coated coatedon fertig fertiggestellt \
                      fertiggestelltam beschichtetam terminado fechadefin termine termineele concluido concluidoem",
    ),
    (
        C::On,
        "date day servicedate visitdate doneon datum tag am fecha dia jour le data servicedatum dateduservice",
    ),
    (
        C::Odometer,
        "mileage reading odometerreading clock kilometerstand tachostand tacho kmstand laufleistung \
                   odometro kilometraje cuentakilometros compteur kilometrage quilometragem contaquilometros",
    ),
    (C::OdometerUnit, "unit distanceunit einheit unidad unite unidade kmmi"),
    (C::OdometerKm, "km kms kilometres kilometers kilometer kilometros kilometre quilometros odometerkm"),
    (C::OdometerMi, "mi mile miles meilen millas milhas odometermi odometermiles"),
    (C::DistanceKm, "totalkm distance distancekm gesamtkm distancia distanciakm"),
    (
        C::Surfaces,
        "surface area areas flaechen flachen flaeche flache oberflaechen oberflachen superficies superficie \
                   surfacestraitees",
    ),
    (C::Panels, "panel parts teile bauteile karosserieteile paneles piezas panneaux pieces paineis pecas"),
    (
        C::ExcludedPanels,
        "excluded leftout ausgenommen ausgenommeneteile excluidos panelesexcluidos exclus \
                         panneauxexclus paineisexcluidos",
    ),
    (
        C::Coats,
        "coat coating coatings products product beschichtung beschichtungen produkt produkte capas \
                recubrimiento couches revetement camadas revestimento",
    ),
    (
        C::Terms,
        "termscode plan warrantyplan warranty garantie garantieplan bedingungen garantia plandegarantia \
                conditions condiciones condicoes",
    ),
    (C::Edition, "version termsedition ausgabe fassung edicion edicao"),
    (
        C::WarrantyStart,
        "warrantyfrom coverfrom start garantiebeginn garantieab iniciogarantia iniciodegarantia \
                        debutgarantie debutdegarantie iniciodagarantia",
    ),
    (C::WarrantyStartKm, "startkm garantiebeginnkm"),
    (
        C::Service,
        "servicename work done arbeit leistung wartung servicio trabajo prestation entretien servico \
                  trabalho",
    ),
    (C::DoneBy, "by where doneat durch ausgefuehrtvon ausgefuhrtvon hechopor porquien faitpar feitopor"),
    (
        C::CarriedOut,
        "complete completed carriedoutasasked ok durchgefuehrt durchgefuhrt realizado effectue efetuado",
    ),
    (
        C::Finding,
        "findings note notes remarks comment befund bemerkung bemerkungen hallazgo observaciones nota \
                  constat remarque remarques observacoes",
    ),
    (
        C::InTime,
        "enteredintime ontime fristgerecht rechtzeitig atiempo dansletemps atemps dansledelai atempo dentrodoprazo",
    ),
    (C::Panel, "panels part teil bauteil karosserieteil panneau pieza painel peca piece"),
    (
        C::Breach,
        "incident breachkey verstoss vorfall incumplimiento incidente infraccion infraction incumprimento",
    ),
    (
        C::NewOwner,
        "buyer soldto newkeeper kaeufer kaufer verkauftan neuerhalter neuerbesitzer neuereigentuemer \
                  neuereigentumer comprador vendidoa nuevopropietario acheteur vendua nouveauproprietaire \
                  novoproprietario",
    ),
    (
        C::ToldOn,
        "told toldus informed informedon gemeldet gemeldetam mitgeteilt mitgeteiltam comunicado comunicadoel \
                avisado avisadoel signale signalele declarele comunicadoem avisadoem",
    ),
    (
        C::Job,
        "jobref jobno jobnumber jobid order orderno auftrag auftragsnr auftragsnummer trabajo orden commande \
             numerodecommande trabalho obra ordem",
    ),
    (
        C::Upkeep,
        "rule upkeeprule maintenance regel pflege pflegeregel wartung wartungsregel regla mantenimiento regle \
                entretien regra manutencao",
    ),
    (
        C::DueNumber,
        "due dueno whichdue faelligkeit falligkeit terminnummer vencimiento numerodevencimiento echeance \
                   numerodecheance vencimento numerodovencimento",
    ),
    (
        C::ExtendedTo,
        "to until newdate bis verlaengertbis verlangertbis hasta prorrogadohasta jusquau prolongejusquau ate \
                    prorrogadoate",
    ),
    (C::Reason, "why grund begruendung begrundung motivo razon raison motif razao"),
    (C::Figures, "values measurements messwerte medidas mesures medicoes"),
];

/// What happened, as shops call it beside the words of the interface; folded like headers.
pub(super) const HAPPENINGS: &[(Happening, &str)] = &[
    (
        Happening::Reading,
        "odometer mileage kilometerstand ablesung lectura kilometraje releve leitura quilometragem",
    ),
    (Happening::Sale, "sold verkauf verkauft halterwechsel besitzerwechsel venta vendido vente vendu venda"),
    (
        Happening::Repair,
        "repaired refinish refinished reparatur repariert lackiert reparacion reparado reparation repare reparacao",
    ),
    (
        Happening::Recoat,
        "recoated neubeschichtung neubeschichtet nachbeschichtung nuevacapa nouvellecouche novacamada",
    ),
    (
        Happening::Breach,
        "incident verstoss vorfall incumplimiento incidente infraccion infraction incumprimento",
    ),
    (
        Happening::Close,
        "closed writtenoff writeoff scrapped exported abgang abgemeldet totalschaden exportiert baja siniestrototal \
            exportado sorti epave exporte abate",
    ),
    (Happening::Waive, "waived waiver verzicht verzichtet erlassen dispensado dispensa dispense renuncia"),
    (
        Happening::Extend,
        "extended extension verlaengert verlangert verlaengerung verlangerung prorroga prorrogado prolongation \
            prolonge prorrogacao",
    ),
];
