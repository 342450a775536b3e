"""cloth"""
