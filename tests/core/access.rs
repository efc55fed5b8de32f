//! Who may what, held against the table of the interface.

use lustrum::core::access::{Action, may};
use lustrum::core::words::Role;

#[test]
fn roles_may_what_the_table_says() {
    let everybody =
        "read log_work sign_off log_visit log_reading add_customer add_vehicle add_batch log_damage";
    let desk_and_manager =
        "change_customer change_vehicle cancel_job hand_over transfer close_vehicle retract
        manage_notices manage_appointments give_links";
    let manager_alone = "manage_shop manage_members manage_products manage_packages manage_terms
        manage_accreditations set_batch_state waive extend pass countersign void_warranty import export";
    let mut named = 0;
    for (actions, roles) in [
        (everybody, [Role::Manager, Role::Technician, Role::Desk].as_slice()),
        (desk_and_manager, &[Role::Manager, Role::Desk]),
        (manager_alone, &[Role::Manager]),
    ] {
        for action in actions.split_whitespace() {
            named += 1;
            let action: Action = action.parse().unwrap();
            let allowed: Vec<Role> = Role::ALL.iter().copied().filter(|role| may(*role, action)).collect();
            assert_eq!(allowed, roles, "{action}");
        }
    }
    assert_eq!(named, Action::ALL.len(), "an action that the table does not name");
}
