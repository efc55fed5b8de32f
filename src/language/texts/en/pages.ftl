# What stands on the owner's pages.
page-vehicle = Your vehicle
