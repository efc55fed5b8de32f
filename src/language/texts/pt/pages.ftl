# What stands on the owner's pages.
page-vehicle = O seu veículo
