//! The press itself: fonts that are added, and codes.

use lustrum::documents::press::Press;

#[test]
fn a_file_that_holds_no_font_is_named() {
    let refused = Press::with_fonts(vec![("fonts/broken.ttf".into(), b"no font".to_vec())]).unwrap_err();
    assert_eq!(refused, "fonts/broken.ttf");
    assert!(Press::with_fonts(Vec::new()).is_ok());
}
