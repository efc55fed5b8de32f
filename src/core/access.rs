//! Roles: who in a shop may do what.

use crate::core::words::{Role, words};

words! {
    /// Something that a member can ask for, as far as roles tell it apart.
    Action, "action" {
        /// Everything of the own shop.
        Read = "read",
        /// Open and change a job, its steps, climate, coats, readings, photos, addenda.
        LogWork = "log_work",
        SignOff = "sign_off",
        LogVisit = "log_visit",
        /// A reading of an odometer outside a visit.
        LogReading = "log_reading",
        AddCustomer = "add_customer",
        AddVehicle = "add_vehicle",
        /// Add a batch, and correct what is known of it but its state.
        AddBatch = "add_batch",
        /// The events `repair`, `recoat` and `breach`.
        LogDamage = "log_damage",

        ChangeCustomer = "change_customer",
        ChangeVehicle = "change_vehicle",
        CancelJob = "cancel_job",
        /// Hand over, with or without a warranty, or issue one later.
        HandOver = "hand_over",
        Transfer = "transfer",
        /// The event `close`.
        CloseVehicle = "close_vehicle",
        /// The event `retract`, of what the own shop entered.
        Retract = "retract",
        ManageNotices = "manage_notices",
        ManageAppointments = "manage_appointments",
        /// Give owners links to their page, and take them back.
        GiveLinks = "give_links",

        ManageShop = "manage_shop",
        ManageMembers = "manage_members",
        /// Products and their data sheets.
        ManageProducts = "manage_products",
        ManagePackages = "manage_packages",
        ManageTerms = "manage_terms",
        ManageAccreditations = "manage_accreditations",
        SetBatchState = "set_batch_state",
        Waive = "waive",
        Extend = "extend",
        Pass = "pass",
        Countersign = "countersign",
        VoidWarranty = "void_warranty",
        /// Take what a shop had before from its files.
        Import = "import",
        /// Everything of a kind as one file.
        Export = "export",
    }
}

/// Whether a member of this role may ask for this.
///
/// ```
/// use lustrum::core::{access::{Action, may}, words::Role};
/// assert!(may(Role::Desk, Action::HandOver));
/// assert!(!may(Role::Technician, Action::HandOver));
/// ```
pub const fn may(role: Role, action: Action) -> bool {
    use Action as A;
    match action {
        A::Read
        | A::LogWork
        | A::SignOff
        | A::LogVisit
        | A::LogReading
        | A::AddCustomer
        | A::AddVehicle
        | A::AddBatch
        | A::LogDamage => true,
        A::ChangeCustomer
        | A::ChangeVehicle
        | A::CancelJob
        | A::HandOver
        | A::Transfer
        | A::CloseVehicle
        | A::Retract
        | A::ManageNotices
        | A::ManageAppointments
        | A::GiveLinks => matches!(role, Role::Desk | Role::Manager),
        A::ManageShop
        | A::ManageMembers
        | A::ManageProducts
        | A::ManagePackages
        | A::ManageTerms
        | A::ManageAccreditations
        | A::SetBatchState
        | A::Waive
        | A::Extend
        | A::Pass
        | A::Countersign
        | A::VoidWarranty
        | A::Import
        | A::Export => matches!(role, Role::Manager),
    }
}
